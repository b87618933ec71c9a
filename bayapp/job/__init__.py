"""The rules of the house: recipes, events, clocks and the gate. Pure values and functions."""

from bayapp.job.advice import Advice, advise
from bayapp.job.clocks import ZoneClock, clocks, handover_at, zone_clock
from bayapp.job.gate.fold import apply, fold
from bayapp.job.gate.gate import gate
from bayapp.job.grounds import Why
from bayapp.job.model.job import Job, JobFile, WorkBlock, resolve
from bayapp.job.model.product import Product
from bayapp.job.model.recipe import Aftercare, Recipe, Step, Wait
from bayapp.job.model.vehicle import VehicleForm, Zone
from bayapp.job.state.bottle import Bottle, Shelf
from bayapp.job.state.events import EVENT, Event
from bayapp.job.state.requests import (
    AddWork,
    ChangeCrew,
    ChooseBottle,
    CloseJob,
    CloseSet,
    CorrectAir,
    CorrectTime,
    Cover,
    FinishBottle,
    FinishStep,
    MeasureBottle,
    OpenBottle,
    PutBackBottle,
    ReadAir,
    RelabelBottle,
    ReopenJob,
    Request,
    SetAside,
    ShelveBottle,
    Start,
    SwapRecipe,
    TakeUp,
    Uncover,
    Undo,
    WriteNote,
)
from bayapp.job.state.state import BayState, JobState, StepRun, ZoneState
from bayapp.job.text.sentences import why_not
from bayapp.job.verdict import Refusal, Verdict

__all__ = [
    "EVENT",
    "AddWork",
    "Advice",
    "Aftercare",
    "BayState",
    "Bottle",
    "ChangeCrew",
    "ChooseBottle",
    "CloseJob",
    "CloseSet",
    "CorrectAir",
    "CorrectTime",
    "Cover",
    "Event",
    "FinishBottle",
    "FinishStep",
    "Job",
    "JobFile",
    "JobState",
    "MeasureBottle",
    "OpenBottle",
    "Product",
    "PutBackBottle",
    "ReadAir",
    "Recipe",
    "Refusal",
    "RelabelBottle",
    "ReopenJob",
    "Request",
    "SetAside",
    "Shelf",
    "ShelveBottle",
    "Start",
    "Step",
    "StepRun",
    "SwapRecipe",
    "TakeUp",
    "Uncover",
    "Undo",
    "VehicleForm",
    "Verdict",
    "Wait",
    "Why",
    "WorkBlock",
    "WriteNote",
    "Zone",
    "ZoneClock",
    "ZoneState",
    "advise",
    "apply",
    "clocks",
    "fold",
    "gate",
    "handover_at",
    "resolve",
    "why_not",
    "zone_clock",
]
