"""The judge of every request, the rules that it asks, and the fold that adds accepted events up."""
