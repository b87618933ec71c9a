"""The time line of the plan."""
