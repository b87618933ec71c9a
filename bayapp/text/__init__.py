"""What every room says and how: languages, figures, days. It opens the catalogue of sentences; nobody else does."""
