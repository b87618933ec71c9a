"""Parses absolute SVG path data (M, L, C, Z) into commands and their points."""

import re
from collections.abc import Iterator, Sequence

from bayapp.files.bounds import LARGEST_COORDINATE

Point = tuple[float, float]

NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_TOKEN = re.compile(rf"[A-Za-z]|{NUMBER.pattern}")
_NUMBERS = {"M": 2, "L": 2, "C": 6, "Z": 0}


def commands_of(data: str) -> Iterator[tuple[str, Sequence[Point]]]:
    """Yield each command and its points: one or more for M and L, three or a multiple for C, none for Z.

    Raises:
        ValueError: it does not begin with M, has another command, or numbers are missing, too many or too large.
    """
    found: list[tuple[str, list[float]]] = []
    for token in _TOKEN.findall(data):
        if token in _NUMBERS:
            found.append((token, []))
        elif token[0].isalpha() or not found:
            raise ValueError(token)
        else:
            found[-1][1].append(_coordinate(token))
    if found and found[0][0] != "M":
        raise ValueError(found[0][0])
    for command, numbers in found:
        by = _NUMBERS[command]
        if (len(numbers) % by if by else numbers) or (by and not numbers):
            raise ValueError(command)
        yield command, list(zip(numbers[::2], numbers[1::2], strict=True))


def _coordinate(text: str) -> float:
    number = float(text)
    if not abs(number) <= LARGEST_COORDINATE:
        raise ValueError(text)
    return number
