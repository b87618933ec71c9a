"""The drawn car: textures, badges and plates, painted with QPainter. Knows no rule and no widget."""
