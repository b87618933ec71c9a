"""Calling out: alert life cycle, calls, tones (pure), playing and speaking (Qt)."""
