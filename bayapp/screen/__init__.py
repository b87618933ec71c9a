"""The Qt windows: they paint and ask."""
