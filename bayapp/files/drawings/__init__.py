"""Reads, checks, measures, cuts and joins drawings of cars."""
