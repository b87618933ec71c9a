"""How a plan fares when work takes longer than expected, and plans that fare better."""
