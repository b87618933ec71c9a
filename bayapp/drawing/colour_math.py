"""WCAG contrast of two sRGB colours, and one laid over another."""

Rgb = tuple[float, float, float]


def rgb(colour: str) -> Rgb:
    """Return the sRGB parts, 0 to 1, of a colour written ``#rrggbb``."""
    return (int(colour[1:3], 16) / 255, int(colour[3:5], 16) / 255, int(colour[5:7], 16) / 255)


def hex_of(parts: Rgb) -> str:
    """Return sRGB parts as ``#rrggbb``, clipped to the gamut and rounded to 8 bits."""
    return "#" + "".join(f"{round(min(1.0, max(0.0, part)) * 255):02x}" for part in parts)


def linear(part: float) -> float:
    """Undo the sRGB transfer curve of one part (IEC 61966-2-1; the WCAG definition since 2021)."""
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def luminance(colour: str) -> float:
    """Return the WCAG 2.x relative luminance, 0 to 1."""
    red, green, blue = map(linear, rgb(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the WCAG 2.x contrast ratio of two colours, 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def mix(over: str, under: str, share: float) -> str:
    """Return ``over`` laid on ``under`` with opacity ``share``, mixed in sRGB as a painter does."""
    pairs = zip(rgb(over), rgb(under), strict=True)
    red, green, blue = (a * share + b * (1 - share) for a, b in pairs)
    return hex_of((red, green, blue))
