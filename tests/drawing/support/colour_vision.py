"""Simulated colour blindness and CIEDE2000, for tests that ask whether an eye can tell two colours apart."""

import math
from enum import StrEnum

from bayapp.drawing.colour_math import Rgb, hex_of, linear, rgb

Lab = tuple[float, float, float]
Matrix = tuple[Rgb, Rgb, Rgb]


class Vision(StrEnum):
    """How an eye sees: normally, or fully without one kind of cone."""

    NORMAL = "normal"
    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


# Machado, Oliveira and Fernandes 2009, severity 1.0, applied to linear RGB.
SIMULATION: dict[Vision, Matrix] = {
    Vision.NORMAL: ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    Vision.PROTAN: (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    Vision.DEUTAN: (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    Vision.TRITAN: (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}

# IEC 61966-2-1 primaries under D65, and the D65 white of the CIE 2 degree observer.
SRGB_TO_XYZ: Matrix = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
D65: Rgb = (0.95047, 1.0, 1.08883)


def encoded(part: float) -> float:
    """Apply the sRGB transfer curve to one linear part, clipped to 0..1."""
    part = min(1.0, max(0.0, part))
    return part * 12.92 if part <= 0.0031308 else 1.055 * part ** (1 / 2.4) - 0.055


def _times(matrix: Matrix, vector: Rgb) -> Rgb:
    first, second, third = (sum(m * v for m, v in zip(row, vector, strict=True)) for row in matrix)
    return first, second, third


def seen_by(vision: Vision, colour: str) -> str:
    """Return the colour as simulated for an eye of this kind (Machado 2009, severity 1.0)."""
    red, green, blue = map(linear, rgb(colour))
    red, green, blue = map(encoded, _times(SIMULATION[vision], (red, green, blue)))
    return hex_of((red, green, blue))


def lab(colour: str) -> Lab:
    """Return CIELAB under D65."""
    red, green, blue = map(linear, rgb(colour))
    xyz = _times(SRGB_TO_XYZ, (red, green, blue))
    f_x, f_y, f_z = (_lab_curve(part / white) for part, white in zip(xyz, D65, strict=True))
    return 116 * f_y - 16, 500 * (f_x - f_y), 200 * (f_y - f_z)


def _lab_curve(ratio: float) -> float:
    return math.cbrt(ratio) if ratio > 216 / 24389 else (24389 / 27 * ratio + 16) / 116


def difference(one: Lab, other: Lab) -> float:
    """Return CIEDE2000 with unit weights, after Sharma, Wu and Dalal 2005 (their equation numbers beside)."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean_c7 = ((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * math.sqrt(mean_c7 / (mean_c7 + 25.0**7))  # 4, 5
    c1, h1 = _polar(a1 * stretch, b1)
    c2, h2 = _polar(a2 * stretch, b2)
    d_h = 0.0 if c1 * c2 == 0 else (h2 - h1 + 180) % 360 - 180  # 10
    if d_h == -180 and h2 > h1:
        d_h = 180.0
    d_big_h = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(d_h / 2))  # 11
    mean_l, mean_c, mean_h = (l1 + l2) / 2, (c1 + c2) / 2, _mean_hue(h1, h2, c1 * c2)
    s_l, s_c, s_h = _weights(mean_l, mean_c, mean_h)
    part_l, part_c, part_h = (l2 - l1) / s_l, (c2 - c1) / s_c, d_big_h / s_h
    return math.sqrt(part_l**2 + part_c**2 + part_h**2 + _rotation(mean_c, mean_h) * part_c * part_h)  # 22


def _polar(a: float, b: float) -> tuple[float, float]:
    return math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360 if a or b else 0.0  # 6, 7


def _mean_hue(h1: float, h2: float, chroma_product: float) -> float:
    if chroma_product == 0:
        return h1 + h2
    if abs(h1 - h2) <= 180:
        return (h1 + h2) / 2
    return (h1 + h2 + 360) / 2 if h1 + h2 < 360 else (h1 + h2 - 360) / 2  # 14


def _weights(mean_l: float, mean_c: float, mean_h: float) -> tuple[float, float, float]:
    turn = (
        1
        - 0.17 * math.cos(math.radians(mean_h - 30))
        + 0.24 * math.cos(math.radians(2 * mean_h))
        + 0.32 * math.cos(math.radians(3 * mean_h + 6))
        - 0.20 * math.cos(math.radians(4 * mean_h - 63))
    )  # 15
    far = (mean_l - 50) ** 2
    return 1 + 0.015 * far / math.sqrt(20 + far), 1 + 0.045 * mean_c, 1 + 0.015 * mean_c * turn  # 18, 19, 20


def _rotation(mean_c: float, mean_h: float) -> float:
    swing = 30 * math.exp(-(((mean_h - 275) / 25) ** 2))  # 16
    reach = 2 * math.sqrt(mean_c**7 / (mean_c**7 + 25.0**7))  # 17
    return -math.sin(math.radians(2 * swing)) * reach  # 21


def perceived_difference(one: str, other: str, vision: Vision = Vision.NORMAL) -> float:
    """Return how far apart, in CIEDE2000, two colours look to an eye of this kind."""
    return difference(lab(seen_by(vision, one)), lab(seen_by(vision, other)))
