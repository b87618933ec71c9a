"""What the rules say to people, in sentences."""
