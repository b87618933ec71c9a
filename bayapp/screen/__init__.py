"""The Qt windows: they paint and ask. Knows no rule."""
