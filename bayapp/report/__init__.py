"""The day record and its exports."""
