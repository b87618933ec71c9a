"""What every controller works with: the stack of pages, the way to the door, choices, notices, the voice."""
