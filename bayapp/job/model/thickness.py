"""Dry film thickness, in µm: what a reading may say, and what a shop holds for thin and for unlike.

Terms from memory, after ISO 2808 and ASTM D7091: dry film thickness, a gauge reading (one value of the instrument) and
the mean of several gauge readings of a spot. A gauge reads all films down to the metal and tells no clear coat apart.
"""

from typing import Annotated

from pydantic import Field

LEAST_UM, MOST_UM = 0.0, 5_000.0
"""What a reading may say. Paint as it left the works has some 100 µm, filler up to some 2,000 (common practice, no
source); no gauge for paint on metal reads further."""
MOST_READINGS = 200
"""Gauge readings of one zone by one touch; several are taken of a panel, some dozens of a large one."""
THIN_UM, UNLIKE_UM = 80.0, 50.0
"""A zone is thin below the first, and unlike its neighbours from the second on: common practice, no source."""

Micrometres = Annotated[float, Field(strict=True, ge=LEAST_UM, le=MOST_UM, allow_inf_nan=False)]
