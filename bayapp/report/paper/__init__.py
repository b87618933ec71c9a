"""How a day record stands on paper."""
