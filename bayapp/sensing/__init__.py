"""Readings from sensors: hearing them, judging them, joining them to one. Knows no Qt and no clock."""
