"""Where the program's own resources lie and where the shop's data goes."""

import sys
from pathlib import Path

import platformdirs


def resource(*parts: str) -> Path:
    """Return the path of a shipped resource, e.g. ``resource("vehicles", "estate.svg")``.

    Works in a checkout, an editable install, an installed wheel (where the folder
    is packed as ``bayapp/_resources``) and a frozen bundle (``sys._MEIPASS/resources``).

    Raises:
        FileNotFoundError: no resources folder is found at all; the installation is broken.
    """
    here = Path(__file__).resolve().parent
    frozen = getattr(sys, "_MEIPASS", None)
    places = [Path(frozen) / "resources"] if frozen else []
    places += [here / "_resources", here.parent / "resources"]
    for place in places:
        if place.is_dir():
            return place.joinpath(*parts)
    raise FileNotFoundError(f"bayapp's resources folder is missing; looked in {', '.join(map(str, places))}")


def default_store() -> Path:
    """Return the folder where this shop's journal lives when no ``--store`` is given."""
    return Path(platformdirs.user_data_dir("bayapp", appauthor=False))
