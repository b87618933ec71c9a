"""The contents of a day record, derived from the journal."""
