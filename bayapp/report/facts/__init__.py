"""What a day record holds, derived from the journal."""
