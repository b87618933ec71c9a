"""Processes and services beside the window: planner, sound, day records, the screen saver."""
