"""The rules of the house: recipes, events, clocks and the gate. Pure values and functions; knows no I/O and no now."""

from bayapp.job.advice import Advice, advise
from bayapp.job.bottle import Bottle, Shelf
from bayapp.job.clocks import ZoneClock, clocks, handover_at, zone_clock
from bayapp.job.events import EVENT, Event
from bayapp.job.fold import apply, fold
from bayapp.job.gate import gate
from bayapp.job.job import Job, JobFile, WorkBlock, resolve
from bayapp.job.product import Product
from bayapp.job.recipe import Finish, Recipe, Step, Wait
from bayapp.job.requests import (
    AddWork,
    ChangeCrew,
    ChooseBottle,
    CloseJob,
    CorrectAir,
    CorrectTime,
    FinishBottle,
    MeasureBottle,
    OpenBottle,
    PutBackBottle,
    ReadAir,
    RelabelBottle,
    Request,
    SetAside,
    ShelveBottle,
    Start,
    SwapRecipe,
    TakeUp,
    Undo,
    WriteNote,
)
from bayapp.job.requests import Finish as FinishStep
from bayapp.job.sentences import why_not
from bayapp.job.state import BayState, JobState, StepRun, ZoneState
from bayapp.job.vehicle import VehicleForm, Zone
from bayapp.job.verdict import Refusal, Verdict, Why

__all__ = [
    "EVENT",
    "AddWork",
    "Advice",
    "BayState",
    "Bottle",
    "ChangeCrew",
    "ChooseBottle",
    "CloseJob",
    "CorrectAir",
    "CorrectTime",
    "Event",
    "Finish",
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
    "Request",
    "SetAside",
    "Shelf",
    "ShelveBottle",
    "Start",
    "Step",
    "StepRun",
    "SwapRecipe",
    "TakeUp",
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
