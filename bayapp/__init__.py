"""bayapp: the wall screen of a detailing bay."""

__version__ = "0.1.0"
