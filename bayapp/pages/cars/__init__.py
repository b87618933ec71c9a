"""Cars that come, go and change."""
