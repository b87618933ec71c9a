"""A car that arrives: what it is, whose, and what must not be done to it."""
