"""What each page shows and offers, one folder per subject."""
