"""What is typed, held and pressed."""
