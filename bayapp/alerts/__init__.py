"""Alerts: their life cycle, calls and tones (pure), playing and speaking (Qt)."""
