"""The gate's judgement of what is asked of the shelf."""

from datetime import datetime
from functools import singledispatch

from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.stock import used_since
from bayapp.job.grounds import BadAmount, BottleGone, Grounds, NotWeighable, OfBottle, Why
from bayapp.job.model.ids import BottleId, Code, Person
from bayapp.job.model.instant import to_millisecond
from bayapp.job.state.bottle import Bottle
from bayapp.job.state.events import (
    BottleChosen,
    BottleDrawn,
    BottleFinished,
    BottleMeasured,
    BottleOpened,
    BottlePutBack,
    BottleRelabelled,
    BottleShelved,
    Event,
)
from bayapp.job.state.requests import (
    ChooseBottle,
    FinishBottle,
    MeasureBottle,
    OfShelf,
    OpenBottle,
    PutBackBottle,
    RelabelBottle,
    ShelveBottle,
)
from bayapp.job.state.state import BayState, JobState
from bayapp.job.verdict import Refusal, Verdict

ROOM_ABOVE = 1.1
"""A bottle may hold a little more than its label says (common practice, no source); more is a slip of the finger."""
LARGEST_ML = 25_000.0
LONGEST_BATCH = 40


def judge_shelf(request: OfShelf, facts: BayFacts) -> Verdict:
    """Judge one request about the shelf."""
    if isinstance(request, ShelveBottle):
        return _shelve(request, facts)
    bottle = facts.state.shelf.bottles.get(request.bottle)
    if bottle is None:
        return _no(OfBottle(Why.NO_SUCH_BOTTLE, _number(request.bottle)))
    if bottle.gone_at and not isinstance(request, PutBackBottle | RelabelBottle):
        return _no(BottleGone(bottle.number, bottle.gone_at, bottle.gone_why), Code.DONE)
    return _judge(request, bottle, facts.at)


def opened_by_use(bottle: Bottle | None, at: datetime, by: Person | None) -> tuple[BottleOpened, ...]:
    """Return that the bottle in hand is opened, where work begins with one that was not."""
    if bottle is None or bottle.opened_at:
        return ()
    return (BottleOpened(at=at, by=by, bottle=bottle.id, opened_at=at),)


def drawn_by(state: BayState, job: JobState, at: datetime) -> tuple[BottleDrawn, ...]:
    """Return what a car that leaves the bay took from each bottle since it was last measured."""
    taken = ((bottle.id, used_since(job, bottle)) for bottle in state.shelf.bottles.values())
    return tuple(BottleDrawn(at=at, bottle=bottle, of=job.job.id, ml=round(ml, 3)) for bottle, ml in taken if ml > 0)


def _no(grounds: Grounds, code: Code = Code.UNKNOWN) -> Verdict:
    return Verdict(refusals=(Refusal(code, grounds),))


def _number(bottle: BottleId) -> str:
    """Return what a person calls a bottle, also one that is not there."""
    return bottle.removeprefix("bottle-")


def _yes(event: Event) -> Verdict:
    return Verdict(events=(event,))


def _shelve(request: ShelveBottle, facts: BayFacts) -> Verdict:
    bottle = facts.state.shelf.next_id()
    if not 0 < request.size_ml <= LARGEST_ML:
        return _no(BadAmount(_number(bottle), request.size_ml, LARGEST_ML))
    if (request.expires_on is None) != (request.expires_at is None):
        return _no(OfBottle(Why.BAD_BOTTLE_DATE, _number(bottle)))
    event = BottleShelved(
        at=facts.at,
        by=request.by,
        bottle=bottle,
        product=request.product,
        size_ml=request.size_ml,
        batch=request.batch.strip()[:LONGEST_BATCH],
        gtin=request.gtin,
        expires_on=request.expires_on,
        expires_at=request.expires_at,
    )
    return _yes(event)


@singledispatch
def _judge(request: OfShelf, bottle: Bottle, at: datetime) -> Verdict:
    raise TypeError(f"the gate has no rule for {type(request).__name__}")


@_judge.register
def _relabel(request: RelabelBottle, bottle: Bottle, at: datetime) -> Verdict:
    if (request.expires_on is None) != (request.expires_at is None):
        return _no(OfBottle(Why.BAD_BOTTLE_DATE, bottle.number))
    event = BottleRelabelled(
        at=at,
        by=request.by,
        bottle=bottle.id,
        batch=request.batch.strip()[:LONGEST_BATCH],
        expires_on=request.expires_on,
        expires_at=request.expires_at,
    )
    return _yes(event)


@_judge.register
def _open(request: OpenBottle, bottle: Bottle, at: datetime) -> Verdict:
    opened = None if request.unopened else to_millisecond(request.opened_at or at)
    if opened and opened > at:
        return _no(OfBottle(Why.BAD_BOTTLE_DATE, bottle.number))
    return _yes(BottleOpened(at=at, by=request.by, bottle=bottle.id, opened_at=opened))


@_judge.register
def _measure(request: MeasureBottle, bottle: Bottle, at: datetime) -> Verdict:
    weighed = request.grams is not None
    ml = bottle.ml_of(request.grams) if request.grams is not None else request.ml
    if ml is None:
        return _no(NotWeighable(bottle.product.title or bottle.product.name))
    most = round(bottle.size_ml * ROOM_ABOVE, 1)
    if not 0 <= ml <= most:
        return _no(BadAmount(bottle.number, round(ml, 1), most))
    event = BottleMeasured(
        at=at,
        by=request.by,
        bottle=bottle.id,
        ml=round(float(ml), 3),
        how="weight" if weighed else "eye",
        grams=float(request.grams) if request.grams is not None else None,
    )
    return _yes(event)


@_judge.register
def _choose(request: ChooseBottle, bottle: Bottle, at: datetime) -> Verdict:
    return _yes(BottleChosen(at=at, by=request.by, bottle=bottle.id))


@_judge.register
def _finish(request: FinishBottle, bottle: Bottle, at: datetime) -> Verdict:
    return _yes(BottleFinished(at=at, by=request.by, bottle=bottle.id, reason=request.reason))


@_judge.register
def _put_back(request: PutBackBottle, bottle: Bottle, at: datetime) -> Verdict:
    if bottle.gone_at is None:
        return _no(OfBottle(Why.BOTTLE_NOT_GONE, bottle.number), Code.DONE)
    return _yes(BottlePutBack(at=at, by=request.by, bottle=bottle.id))
