"""The settings of the shop."""
