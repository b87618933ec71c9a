"""Pages and controllers for cars that come, go and change."""
