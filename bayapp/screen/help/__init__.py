"""The page that shows the manual, and its controller."""
