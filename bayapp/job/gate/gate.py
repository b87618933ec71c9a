"""The gate: judges every request against the state and the time. It writes nothing."""

from dataclasses import replace
from datetime import datetime
from functools import singledispatch

from bayapp.job.gate.air_gate import judge_air_correction, judge_reading
from bayapp.job.gate.bay_facts import BayFacts
from bayapp.job.gate.bay_gate import judge_bay
from bayapp.job.gate.clock_gate import judge_clock
from bayapp.job.gate.closing_early import judge_closing_early
from bayapp.job.gate.correction_gate import judge_time_correction, judge_undo
from bayapp.job.gate.covering import judge_cover, judge_uncover
from bayapp.job.gate.final_check import judge_passing
from bayapp.job.gate.marking import judge_lifting, judge_marking
from bayapp.job.gate.photo_gate import judge_photo, judge_photo_withdrawal
from bayapp.job.gate.place_gate import judge_move, judge_move_back, judge_places, judge_splash
from bayapp.job.gate.reasons import without_reason
from bayapp.job.gate.sending_back import judge_sending_back
from bayapp.job.gate.shelf_gate import judge_shelf
from bayapp.job.gate.spot_gate import judge_spot
from bayapp.job.gate.step_gate import judge_finish, judge_start
from bayapp.job.gate.thickness_gate import judge_thickness, judge_thickness_withdrawal
from bayapp.job.gate.wetting import judge_wetting
from bayapp.job.gate.work_gate import (
    judge_added_work,
    judge_brakes,
    judge_closing,
    judge_crew,
    judge_identity,
    judge_note,
    judge_reopening,
    judge_setting_aside,
    judge_swap,
    judge_taking_up,
)
from bayapp.job.grounds import Bare, BeyondCalendar, HasLeft, NoSuchJob, NoSuchPerson, TimeRanBack, TimeUnsure, Why
from bayapp.job.model.ids import Code, StepId, ZoneId
from bayapp.job.model.instant import EARLIEST, LATEST
from bayapp.job.state.requests import (
    AddPhoto,
    AddWork,
    AnswerSplash,
    ChangeCrew,
    CheckBrakes,
    CloseJob,
    CloseSet,
    CorrectAir,
    CorrectTime,
    Cover,
    FinishStep,
    GiveIdentity,
    LiftMark,
    MoveCar,
    OfAnyZone,
    OfBay,
    OfClock,
    OfJob,
    OfShelf,
    OfZones,
    PassZones,
    ReadAir,
    ReadThickness,
    ReopenJob,
    ReportMachineStart,
    ReportWet,
    Request,
    SendBack,
    SetAside,
    SetMark,
    SetUpPlaces,
    SkipSpot,
    Start,
    SwapRecipe,
    TakeUp,
    TrySpot,
    Uncover,
    Undo,
    UndoMove,
    WithdrawPhoto,
    WithdrawThickness,
    WriteNote,
)
from bayapp.job.state.state import BayState, JobState
from bayapp.job.verdict import Refusal, Verdict

NO_CAR_NAMED = ReadAir | CorrectAir | OfShelf | OfBay | OfClock


def gate(state: BayState, request: Request, at: datetime) -> Verdict:
    """Judge one request at an instant.

    Args:
        at: when the person acted, aware; rounded to the millisecond.

    Returns:
        The events to record, or every reason why not. The first refusal is the one to show.
    """
    return judge(request, BayFacts(state, at))


def judge(request: Request, facts: BayFacts) -> Verdict:
    """Judge one request on facts at hand, as ``gate`` does, for callers that ask many questions of one instant."""
    request = _each_zone_once(request)
    refusal = _known(facts.state, request) or without_reason(request) or _in_time(facts.state, request, facts.at)
    return Verdict(refusals=(refusal,)) if refusal else _judge(request, facts)


def _each_zone_once(request: Request) -> Request:
    if isinstance(request, OfZones) and len(set(request.zones)) < len(request.zones):
        return replace(request, zones=tuple(dict.fromkeys(request.zones)))
    return request


def _known(state: BayState, request: Request) -> Refusal | None:
    if isinstance(request, NO_CAR_NAMED):
        return None
    job = state.jobs.get(request.job)
    if job is None:
        return Refusal(Code.UNKNOWN, NoSuchJob(request.job))
    if isinstance(request, ReopenJob):
        return Refusal(Code.DONE, Bare(Why.JOB_INSIDE), request.job) if job.closed_at is None else None
    return _known_to(job, request)


def _known_to(job: JobState, request: OfJob) -> Refusal | None:
    """Return why a car's request names what it has not: it has left, or there is no such person, zone or step."""
    if job.closed_at is not None:
        return Refusal(Code.DONE, HasLeft(job.closed_at), request.job)
    stranger = request.by is not None and job.job.crew and request.by not in job.job.crew
    if request.by is not None and stranger and not isinstance(request, ChangeCrew):
        return Refusal(Code.UNKNOWN, NoSuchPerson(request.by, job.job.crew), request.job)
    if isinstance(request, OfZones) and not isinstance(request, WriteNote) and not request.zones:
        return Refusal(Code.UNKNOWN, Bare(Why.NO_ZONE), request.job)
    for zone in _zones(request):
        if zone not in job.zones and not (isinstance(request, OfAnyZone) and zone in job.job.zone_names):
            return Refusal(Code.UNKNOWN, Bare(Why.NO_SUCH_ZONE), request.job, zone)
        step = _step(request)
        if step is not None and not job.job.recipe_of(zone).has(step):
            return Refusal(Code.UNKNOWN, Bare(Why.NO_SUCH_STEP), request.job, zone, step)
    return None


def _zones(request: Request) -> tuple[ZoneId, ...]:
    if isinstance(request, OfZones):
        return request.zones
    if isinstance(request, ReadThickness):
        return tuple(zone for zone, _um in request.readings)
    if isinstance(request, CorrectTime | WithdrawThickness | AddPhoto | WithdrawPhoto):
        return () if request.zone is None else (request.zone,)
    return ()


def _step(request: Request) -> StepId | None:
    return (
        request.step if isinstance(request, Start | FinishStep | SendBack | CorrectTime | TrySpot | SkipSpot) else None
    )


def _in_time(state: BayState, request: Request, at: datetime) -> Refusal | None:
    if state.machine.asked and not isinstance(request, OfBay | OfClock):
        return Refusal(Code.CLOCK, TimeUnsure(state.machine.asked[0].since))
    if not EARLIEST <= at <= LATEST:
        return Refusal(Code.CLOCK, BeyondCalendar(at, EARLIEST, LATEST))
    if state.last_at is not None and at < state.last_at and not isinstance(request, ReportMachineStart):
        return Refusal(Code.CLOCK, TimeRanBack(state.last_at), right_from=state.last_at)
    return None


@singledispatch
def _judge(request: Request, facts: BayFacts) -> Verdict:
    raise TypeError(f"the gate has no rule for {type(request).__name__}")


_judge.register(Start, judge_start)
_judge.register(FinishStep, judge_finish)
_judge.register(Undo, judge_undo)
_judge.register(CorrectTime, judge_time_correction)
_judge.register(SetAside, judge_setting_aside)
_judge.register(TakeUp, judge_taking_up)
_judge.register(Cover, judge_cover)
_judge.register(Uncover, judge_uncover)
_judge.register(CloseSet, judge_closing_early)
_judge.register(SendBack, judge_sending_back)
_judge.register(ReportWet, judge_wetting)
_judge.register(PassZones, judge_passing)
_judge.register(SetMark, judge_marking)
_judge.register(LiftMark, judge_lifting)
_judge.register(AddWork, judge_added_work)
_judge.register(SwapRecipe, judge_swap)
_judge.register(ChangeCrew, judge_crew)
_judge.register(MoveCar, judge_move)
_judge.register(UndoMove, judge_move_back)
_judge.register(AnswerSplash, judge_splash)
_judge.register(WriteNote, judge_note)
_judge.register(ReadThickness, judge_thickness)
_judge.register(WithdrawThickness, judge_thickness_withdrawal)
_judge.register(AddPhoto, judge_photo)
_judge.register(WithdrawPhoto, judge_photo_withdrawal)
_judge.register(GiveIdentity, judge_identity)
_judge.register(CheckBrakes, judge_brakes)
_judge.register(TrySpot, judge_spot)
_judge.register(SkipSpot, judge_spot)
_judge.register(CloseJob, judge_closing)
_judge.register(ReopenJob, judge_reopening)
_judge.register(ReadAir, judge_reading)
_judge.register(CorrectAir, judge_air_correction)
_judge.register(OfShelf, judge_shelf)
_judge.register(OfBay, judge_bay)
_judge.register(OfClock, judge_clock)
_judge.register(SetUpPlaces, judge_places)
