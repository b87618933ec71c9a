"""The drawn car: textures, badges and plates, painted with QPainter."""
