"""Reads SVG path data (M, L, C, Z, absolute) into a painter path."""

import re

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath

_TOKEN = re.compile(r"[A-Za-z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_NUMBERS = {"M": 2, "L": 2, "C": 6, "Z": 0}


def path_from(data: str) -> QPainterPath:
    """Return the painter path of an SVG ``d`` attribute, filled odd-even.

    Raises:
        ValueError: a command other than M, L, C, Z is used, or a number is missing.
    """
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for command, numbers in _commands(data):
        size = _NUMBERS[command]
        if command == "Z":
            path.closeSubpath()
        for at in range(0, len(numbers), size or 1):
            _append(path, "L" if command == "M" and at else command, numbers[at : at + size])
    return path


def is_closed(path: QPainterPath) -> bool:
    """Whether a path ends where it starts."""
    return path.elementCount() > 0 and path.pointAtPercent(0) == path.currentPosition()


def _commands(data: str) -> list[tuple[str, list[float]]]:
    found: list[tuple[str, list[float]]] = []
    for token in _TOKEN.findall(data):
        if not token[0].isalpha():
            if not found:
                raise ValueError(f"path data starts with the number {token}; it must start with M")
            found[-1][1].append(float(token))
        elif token in _NUMBERS:
            found.append((token, []))
        else:
            raise ValueError(f"path command {token!r} is not read here; use M, L, C and Z, absolute")
    for command, numbers in found:
        size = _NUMBERS[command]
        if (size == 0 and numbers) or (size and (not numbers or len(numbers) % size)):
            raise ValueError(f"path command {command} has {len(numbers)} numbers; it takes them by {size}")
    return found


def _append(path: QPainterPath, command: str, numbers: list[float]) -> None:
    points = [QPointF(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    if command == "M":
        path.moveTo(points[0])
    elif command == "L":
        path.lineTo(points[0])
    elif command == "C":
        path.cubicTo(*points)
