"""How much durations usually scatter, and how much longer than expected the planner therefore allows for.

Times are log-normal around what is expected: nine in ten are no longer than exp(1.2816 sigma) times that, 1.2816 being
the 0.9 quantile of the normal distribution. Where one step is reckoned slow all others of a stretch need not be.
"""

import math
from datetime import timedelta

USUAL_SIGMA = math.sqrt(math.log(1 + 0.25**2))
"""Log-normal sigma of a time that scatters by a quarter of its mean: sigma² = ln(1 + cv²) with cv = 0.25."""

NORMAL_QUANTILE = 1.2815515655446004
"""The 0.9 quantile of the normal distribution."""

NINE_IN_TEN = round(math.exp(NORMAL_QUANTILE * USUAL_SIGMA), 2)
"""Nine in ten steps take no longer than this times what is expected: 1.37. For work under way."""

SLOW = 1.4
"""One step may well take this many times longer than expected: ``NINE_IN_TEN`` rounded up. For work not yet begun."""

SLOW_IN_ALL = 1.15
"""Several, one after the other, may well take so many times longer: five in a row, whose sigma is that of one by the
root of five, stay below it in nine cases of ten."""

LEAST_LEFT = timedelta(seconds=30)
LEAST_SHARE_LEFT = 1 / 10
"""What is under way still takes as long as this, and as this share of the whole, however long it has lasted."""
