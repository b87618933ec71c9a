"""The settings of a shop: hours, keys, sensors, screen."""
