"""Pages and controllers for a car that arrives."""
