"""What is shown when the wall cannot start."""
