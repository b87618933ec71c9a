"""The parts of the board and its ladder, and the controllers of the pages that open from them."""
