"""Drawings of cars: read, checked, measured, cut and joined."""
