"""What to do next: the work order continued from now, each step checked with the gate."""
