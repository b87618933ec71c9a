"""Sensors of the air: receiving their messages, judging them, joining them into readings."""
