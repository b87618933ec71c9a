"""Photos made by Pillow, which shares nothing with what reads them here; the scenes are invented."""

import io
from typing import Any

from PIL import Image

CORNERS = ((220, 40, 40), (40, 200, 60), (50, 70, 220), (235, 215, 60))
"""Red above left, green above right, blue below left, yellow below right."""


def quarters(width: int = 96, height: int = 64, mode: str = "RGB") -> Image.Image:
    """An image whose quarters each have a colour of their own, so that it shows how it was turned."""
    image = Image.new("RGB", (width, height))
    for number, colour in enumerate(CORNERS):
        box = (number % 2 * width // 2, number // 2 * height // 2)
        image.paste(colour, (*box, box[0] + width // 2, box[1] + height // 2))
    return image.convert(mode)


def photo(kind: str = "jpeg", image: Image.Image | None = None, **options: Any) -> bytes:
    """The bytes of a photo; ``options`` are Pillow's."""
    written = io.BytesIO()
    (image or quarters()).save(written, kind, **options)
    return written.getvalue()


def turned(orientation: int) -> bytes:
    """A JPEG that says in its EXIF how its rows lie, where it was taken, and whose camera it was."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x013B] = "Tarnwick Bay"  # artist
    exif.get_ifd(0x8825)[2] = (12.0, 34.0, 56.0)  # latitude
    return photo("jpeg", quality=95, exif=exif)
