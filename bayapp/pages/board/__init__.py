"""The board and the ladder, and what they offer."""
