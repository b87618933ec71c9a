"""Decodes a photo for the screen: small, upright by its EXIF orientation, and with nothing else that it says of itself.

Untrusted bytes: only a process that may end at once calls this; the wall loads what it wrote.
"""

from pathlib import Path

from PySide6.QtCore import QByteArray, QSize, Qt
from PySide6.QtGui import QImage, QImageReader, QImageWriter, QPainter

from bayapp.text.language import _

LONGEST_PX = 1600
"""The longer side of a preview: two of them fill a wall of 4K side by side."""
QUALITY = 88


class Undecodable(Exception):  # noqa: N818 - what a person is told
    """A photo cannot be decoded, or not with so much memory; the text says why."""


def load_decoders() -> None:
    """Have every decoder loaded when this returns."""
    QImageReader.supportedImageFormats()


def decoded(file: Path, kind: str, memory_mb: int, longest: int = LONGEST_PX) -> QImage:
    """Return a photo upright and no larger than ``longest`` pixels.

    Raises:
        Undecodable: its data is damaged, or decoding it takes more than ``memory_mb``.
    """
    QImageReader.setAllocationLimit(memory_mb)
    reader = QImageReader(str(file), kind.encode())
    reader.setAutoTransform(True)
    size = reader.size()
    if max(size.width(), size.height()) > longest:
        reader.setScaledSize(size.scaled(QSize(longest, longest), Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        raise Undecodable(
            _("it is damaged, or needs more than {most} MB to be shown; save it smaller, or copy it once more").format(
                most=memory_mb
            )
        )
    return _plain(image)


def _plain(image: QImage) -> QImage:
    """Return only the picture: no texts, no profile, no transparency."""
    plain = QImage(image.size(), QImage.Format.Format_RGB32)
    plain.fill(Qt.GlobalColor.white)
    with QPainter(plain) as painter:
        painter.drawImage(0, 0, image)
    return plain


def write_preview(image: QImage, target: Path) -> None:
    """Write a decoded photo as a JPEG, whole or not at all.

    Raises:
        OSError: it cannot be written.
    """
    part = target.with_name(f".{target.name}.part")
    writer = QImageWriter(str(part), QByteArray(b"jpeg"))
    writer.setQuality(QUALITY)
    if not writer.write(image):
        part.unlink(missing_ok=True)
        raise OSError(_("the small picture cannot be written"))
    part.replace(target)
