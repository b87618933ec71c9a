"""The air: readings, the day, sensors."""
