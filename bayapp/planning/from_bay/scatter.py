"""How much the length of work usually scatters."""

import math

USUAL_SIGMA = math.sqrt(math.log(1 + 0.25**2))
"""Log-normal sigma of a time that scatters by a quarter of its mean: sigma² = ln(1 + cv²) with cv = 0.25."""
