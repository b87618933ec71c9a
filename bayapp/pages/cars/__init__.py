"""Cars that come in, change, and leave."""
