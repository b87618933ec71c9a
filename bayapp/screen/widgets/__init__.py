"""The widgets that every page is built from: buttons, keys, text, millimetres."""
