"""Recipes and product sheets."""
