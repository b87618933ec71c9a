"""The wall window: the parts of the board, joined and laid out."""
