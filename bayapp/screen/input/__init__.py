"""Input by hands, feet, scanners and keyboards."""
