"""What people write, as checked values: jobs, recipes, products, vehicle forms, and the ids that every room shares."""
