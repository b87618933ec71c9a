"""Pages and controllers for the air and its sensors."""
