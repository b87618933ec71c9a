"""Controllers for the settings of the shop."""
