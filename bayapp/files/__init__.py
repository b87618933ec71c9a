"""Reads and checks the files that people write: jobs, recipes, products, vehicle forms, settings."""
