"""What runs beside the window: planner, sound, day records, the screen saver."""
