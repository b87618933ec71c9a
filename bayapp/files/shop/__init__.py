"""What a shop sets once: hours, keys, sensors, screen."""
