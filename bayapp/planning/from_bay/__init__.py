"""From the bay as it stands to a problem: what is left to do, by whom, in what air, kept apart from what."""
