"""Plans without a solver: list scheduling and local search."""
