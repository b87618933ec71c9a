"""The language of the shop: sentences by gettext, numbers and units, days. No other room opens the catalogue."""
