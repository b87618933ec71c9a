"""Pages and controllers for the shelf."""
