"""Problems and plans as values, and what follows from them without a search."""
