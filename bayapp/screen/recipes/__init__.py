"""Pages and controllers for recipes and product sheets."""
