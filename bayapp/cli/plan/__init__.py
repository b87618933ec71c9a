"""``plan`` and the planner's own process beside the wall screen."""
