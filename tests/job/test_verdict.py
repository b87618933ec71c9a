"""A verdict that says nothing accepts."""

from bayapp.job.verdict import Verdict


def test_a_verdict_without_refusals_is_accepted_and_asks_nothing():
    verdict = Verdict()
    assert verdict.accepted
    assert (verdict.events, verdict.refusals, verdict.asks, verdict.windows) == ((), (), (), {})
    assert verdict.refusal is None
