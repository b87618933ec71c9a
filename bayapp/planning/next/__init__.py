"""What to do next: the work order carried on with from now, each step asked of the gate."""
