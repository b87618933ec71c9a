"""Hands, feet, scanners and keyboards."""
