"""When a step may start: windows, tables by the air, and where a zone stands on its ladder."""
