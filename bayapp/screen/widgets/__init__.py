"""What every page is painted with: buttons, keys, words, millimetres."""
