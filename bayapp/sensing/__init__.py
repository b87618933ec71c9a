"""Readings from sensors: hearing them, judging them, joining them to one."""
