"""How much longer than expected work is reckoned with; the quantile by Python's statistics (Wichura, AS 241)."""

from statistics import NormalDist

import pytest

from bayapp.planning.from_bay.scatter import NINE_IN_TEN, NORMAL_QUANTILE, SLOW


def test_the_quantile_is_that_of_the_normal_distribution():
    assert pytest.approx(NormalDist().inv_cdf(0.9), abs=1e-12) == NORMAL_QUANTILE


def test_what_is_to_be_begun_is_reckoned_slower_than_nine_in_ten():
    assert NINE_IN_TEN == 1.37
    assert NINE_IN_TEN < SLOW == 1.4
