"""The board, its ladder, and what they offer."""
