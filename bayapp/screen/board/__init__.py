"""The wall window and the parts of its board."""
