"""The manual on the wall."""
