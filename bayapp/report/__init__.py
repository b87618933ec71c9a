"""The day record and its exports. Knows no screen."""
