"""The plan on its time line."""
