"""The shelf and its bottles."""
