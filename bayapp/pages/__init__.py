"""What each page shows and offers, one module per page."""
