"""``python -m bayapp`` is the same as ``bayapp``."""

from bayapp.cli import main

if __name__ == "__main__":
    main()
