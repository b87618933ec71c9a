"""The practice car worked to the end sixty times faster, by people who are up to 40 % off the expected times.

Run with ``-s`` for the table. A day takes about a minute of one core.
"""

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from statistics import median

import pytest

from tests.pages.bays import HandBay, hand_bay
from tests.planning.support.blame import Cause, causes, ignores_half
from tests.planning.support.clairvoyant import soonest
from tests.planning.support.driver import LONGEST, Choose, Driver, LatePlanner, Outcome, Pace, takes_the_advice
from tests.planning.support.hurried import FIRST, first, hurried

SEEDS = range(1, 21)
HOUR = timedelta(hours=1)
NEAR = 1.05


@contextmanager
def opened(folder: Path, seed: int) -> Iterator[HandBay]:
    (folder / str(seed)).mkdir()
    with hand_bay(folder / str(seed)) as hand:
        yield hand


def report(seed: int, outcome: Outcome, *more: object) -> None:
    by = dict(Counter(str(cause) for cause in causes(outcome).values()))
    print(f"  seed {seed:2}  {len(outcome.touches)} touches  {outcome.orders} orders  lapsed {by or 0} ", *more)


def day(folder: Path, seed: int, choose: Choose) -> tuple[Outcome, float, float]:
    """Return how a day went, its hours, and the fewest hours that it could have had."""
    with opened(folder, seed) as hand:
        opening = hand.bay.now()
        least = (soonest(hand.bay.state, opening, Pace(seed).minutes) - opening) / HOUR
        outcome = Driver(hand, Pace(seed), hurried(), choose).work()
        assert outcome.finish, "all is done in the end"
        return outcome, (outcome.finish - opening) / HOUR, least


@pytest.mark.parametrize("seed", [1, pytest.param(2, marks=pytest.mark.slow)])
def test_in_the_first_half_hour_nothing_is_refused_or_missed_by_advice(tmp_path: Path, seed: int):
    with opened(tmp_path, seed) as hand:
        outcome = Driver(hand, Pace(seed), LatePlanner((FIRST, first))).work(timedelta(minutes=30))
    assert outcome.refused == []
    assert len(outcome.touches) > 10
    assert set(causes(outcome).values()) <= {Cause.DURATIONS}


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_whoever_takes_the_advice_ends_within_five_percent_of_who_knows_beforehand(tmp_path: Path):
    ratios, missed = [], []
    for seed in SEEDS:
        outcome, hours, least = day(tmp_path, seed, takes_the_advice)
        report(seed, outcome, f"{hours:.2f} h, never less than {least:.2f} h: {hours / least:.3f}")
        assert outcome.refused == []
        ratios.append(hours / least)
        missed.append(len(outcome.missed))
        assert set(causes(outcome).values()) <= {Cause.DURATIONS}
    print(f"  median {median(ratios):.3f}, worst {max(ratios):.3f}, days with a lapse {sum(map(bool, missed))}")
    assert median(ratios) <= NEAR
    assert median(missed) == 0


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_whoever_heeds_warnings_loses_nothing_that_a_warning_could_have_saved(tmp_path: Path):
    for seed in SEEDS:
        outcome, hours, least = day(tmp_path, seed, ignores_half(seed))
        report(seed, outcome, f"{hours:.2f} h: {hours / least:.3f}")
        assert set(causes(outcome).values()) <= {Cause.DURATIONS}, "what cannot be decided counts as lost by the wall"


@pytest.mark.slow
@pytest.mark.timeout(7200)
def test_whoever_heeds_no_warning_loses_more(tmp_path: Path):
    lost: Counter[str] = Counter()
    for seed in SEEDS[:5]:
        with opened(tmp_path, seed) as hand:
            outcome = Driver(hand, Pace(seed), hurried(), ignores_half(seed, heeds_warnings=False)).work(LONGEST)
        report(seed, outcome)
        lost += Counter(str(cause) for cause in causes(outcome).values())
    assert lost[Cause.WARNED] > 0
