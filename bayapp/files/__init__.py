"""What people write: jobs, recipes, products and vehicle forms, read and checked."""
