"""When a step may start: windows, tables by the air, where a zone stands on its ladder, and what holds after it."""
