"""Reads lines of events that a person or a program wrote, as requests to the gate."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from bayapp.files.bounds import LARGEST_EVENTS, LONGEST_EVENT, MOST_FINDINGS
from bayapp.files.parsed_text import ParsedText
from bayapp.files.plain_file import decode, read_bytes
from bayapp.files.problems import BadFile, Finding
from bayapp.files.readable_texts import expect_readable
from bayapp.files.validation_messages import did_you_mean, findings_of, shown
from bayapp.job import (
    AddPhoto,
    CheckBrakes,
    CloseSet,
    CorrectAir,
    Cover,
    FinishStep,
    GiveIdentity,
    Job,
    LiftMark,
    Mark,
    MarkKind,
    MoveCar,
    PassZones,
    ReadAir,
    ReadThickness,
    ReportWet,
    Request,
    SendBack,
    SetMark,
    SetUpPlaces,
    SkipSpot,
    Start,
    TrySpot,
    Uncover,
    Undo,
    UndoMove,
    WithdrawPhoto,
    WithdrawThickness,
    WriteNote,
)
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.identity import Identity
from bayapp.job.model.ids import Person, PlaceId, StepId, ZoneId
from bayapp.job.model.instant import Instant
from bayapp.job.model.job import PersonName
from bayapp.job.model.mark import Coordinate, Damage
from bayapp.job.model.misfit import KeyMisfitError
from bayapp.job.model.place import Bay, Spot
from bayapp.job.model.product import Celsius, Percent
from bayapp.job.model.spot_card import SpotCard
from bayapp.job.model.thickness import MOST_READINGS, Micrometres
from bayapp.job.model.vehicle import Slug
from bayapp.job.state.events import Phase, PhotoKind, ReadingSource, Sha256, Text, ThicknessSource
from bayapp.text.language import _


class EventLine(BaseModel):
    """What every line has: an instant, and the person where one is known."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    at: Instant
    by: PersonName | None = None


class StartLine(EventLine):
    """Work begins on a zone, or on each zone of a set; ``deviation`` carries it through a refusal.

    ``also`` names further zones or sets of the same touch.
    """

    act: Literal["start"]
    zone: Slug
    also: tuple[Slug, ...] = ()
    step: Slug
    deviation: Text | None = None


class FinishLine(EventLine):
    """Work ends; without a running start it begins and ends at this instant. ``also`` is as for a start."""

    act: Literal["done"]
    zone: Slug
    also: tuple[Slug, ...] = ()
    step: Slug
    deviation: Text | None = None


class UndoLine(EventLine):
    """The zone's last accepted event is taken back."""

    act: Literal["undo"]
    zone: Slug


class CoverLine(EventLine):
    """A zone's coat is covered (``cover``), or its cover is taken off (``uncover``)."""

    act: Literal["cover", "uncover"]
    zone: Slug


class CloseSetLine(EventLine):
    """The zone goes on by itself: its wait counts none of the others of its set any more."""

    act: Literal["close-set"]
    zone: Slug


class SendBackLine(EventLine):
    """A zone is worked again from ``step`` on, for a reason."""

    act: Literal["send-back"]
    zone: Slug
    step: Slug
    reason: Text


class OfZonesLine(EventLine):
    """What is said is of these zone ids or set names."""

    zone: Slug | None = None
    zones: tuple[Slug, ...] = ()

    @model_validator(mode="after")
    def _says_where(self) -> Self:
        if (self.zone is None) == (not self.zones):
            raise KeyMisfitError("zones", _('say where, once: either "zones": ["bonnet"] or "zone": "bonnet"'))
        return self


class MarkLine(OfZonesLine, Mark):
    """Something became known of zones; the keys are those of ``[[mark]]`` in a job."""

    act: Literal["mark"]


class LiftMarkLine(OfZonesLine):
    """Zones are not marked so any more; of damage, ``what`` and ``point`` say which."""

    act: Literal["lift-mark"]
    kind: MarkKind
    what: Damage | None = None
    point: tuple[Coordinate, Coordinate] | None = None


class WetLine(OfZonesLine):
    """Water came on zones, at ``wet_at`` where that was before ``at``."""

    act: Literal["got-wet"]
    wet_at: Instant | None = None


class PassedLine(OfZonesLine):
    """Zones were seen by light and are good."""

    act: Literal["seen-good"]


class SpotLine(OfZonesLine, SpotCard):
    """A test spot was polished for a ``step`` of zones."""

    act: Literal["test-spot"]
    step: Slug


class NoSpotLine(OfZonesLine):
    """No test spot is made for a ``step`` of zones."""

    act: Literal["no-test-spot"]
    step: Slug


class BaysLine(EventLine):
    """The bays were named, side by side; ``curtain``: one hangs between a bay and the next."""

    act: Literal["bays"]
    bays: tuple[Bay, ...]


class MoveLine(EventLine):
    """The car was moved: to a bay by its id, "outside", or null into the bay of a shop that names none.

    ``deviation`` carries it through a refusal. ``curing``: it only cures there, in a ``spot`` of these words.
    """

    act: Literal["move"]
    to: Slug | None
    deviation: Text | None = None
    curing: bool = False
    spot: Spot = ""


class MoveUndoneLine(EventLine):
    """It was not moved, after all: the car stands, and stood, where it was before."""

    act: Literal["move-undone"]


class AirLine(EventLine):
    """The air was read: °C, % relative humidity, °C of the surface; ``read_at`` where it was read before ``at``.

    ``place`` is where: a bay by its id, or "outside"; left out, it counts in every bay.
    """

    act: Literal["air"]
    air_c: Celsius
    rh_percent: Percent
    surface_c: Celsius | None = None
    read_at: Instant | None = None
    source: ReadingSource = ""
    place: Slug | None = None


class AirCorrectedLine(EventLine):
    """The reading recorded at ``corrects`` was wrong: it becomes these values, or counts no more (``withdrawn``).

    ``source`` is that reading's; ``read_at`` is when it was measured, where that was wrong too.
    """

    act: Literal["air-corrected"]
    corrects: Instant
    source: ReadingSource = ""
    air_c: Celsius | None = None
    rh_percent: Percent | None = None
    surface_c: Celsius | None = None
    read_at: Instant | None = None
    withdrawn: bool = False

    @model_validator(mode="after")
    def _one_of_the_two(self) -> Self:
        said = (self.air_c, self.rh_percent, self.surface_c, self.read_at)
        if self.withdrawn and any(value is not None for value in said):
            raise ValueError(
                _("a reading is either withdrawn or given other values; leave out withdrawn or the values")
            )
        if not self.withdrawn and (self.air_c is None or self.rh_percent is None):
            raise ValueError(_('give air_c and rh_percent as they should have been, or "withdrawn": true'))
        return self


class IdentityLine(EventLine, Identity):
    """Somebody said what tells the car from others, and what its owner wishes: all of it, from here on."""

    act: Literal["identity"]


class BrakesLine(EventLine, BrakeCheck):
    """Somebody said what is known of brakes and wheels: all of it, from here on."""

    act: Literal["brakes"]


class NoteLine(EventLine):
    """Somebody wrote something down, about a zone, a set or the whole job."""

    act: Literal["note"]
    text: Text
    zone: Slug | None = None


class ThicknessLine(EventLine):
    """The paint of a zone was measured: gauge readings in µm, in the order of measuring."""

    act: Literal["thickness"]
    zone: Slug
    um: Annotated[tuple[Micrometres, ...], Field(min_length=1, max_length=MOST_READINGS)]
    source: ThicknessSource = "keypad"


class ThicknessWithdrawnLine(EventLine):
    """A zone's entry of thickness was wrong: its ``number``th, from 1; left out, the last that counts."""

    act: Literal["thickness-withdrawn"]
    zone: Slug
    number: Annotated[int, Field(ge=1)] | None = None


class PhotoLine(EventLine):
    """A photo of a zone, or of the whole car, was kept under its SHA-256; ``phase`` follows from the work done."""

    act: Literal["photo"]
    zone: Slug | None = None
    sha256: Sha256
    kind: PhotoKind
    size: Annotated[int, Field(ge=1)]
    phase: Phase | None = None


class PhotoWithdrawnLine(EventLine):
    """A photo does not belong to this zone, or to the whole car."""

    act: Literal["photo-withdrawn"]
    zone: Slug | None = None
    sha256: Sha256


AnyLine = Annotated[
    StartLine
    | FinishLine
    | UndoLine
    | CoverLine
    | CloseSetLine
    | SendBackLine
    | MarkLine
    | LiftMarkLine
    | WetLine
    | PassedLine
    | SpotLine
    | NoSpotLine
    | BaysLine
    | MoveLine
    | MoveUndoneLine
    | AirLine
    | AirCorrectedLine
    | IdentityLine
    | BrakesLine
    | NoteLine
    | ThicknessLine
    | ThicknessWithdrawnLine
    | PhotoLine
    | PhotoWithdrawnLine,
    Field(discriminator="act"),
]
_LINES: Mapping[str, type[EventLine]] = {
    "start": StartLine,
    "done": FinishLine,
    "undo": UndoLine,
    "cover": CoverLine,
    "uncover": CoverLine,
    "close-set": CloseSetLine,
    "send-back": SendBackLine,
    "mark": MarkLine,
    "lift-mark": LiftMarkLine,
    "got-wet": WetLine,
    "seen-good": PassedLine,
    "test-spot": SpotLine,
    "no-test-spot": NoSpotLine,
    "bays": BaysLine,
    "move": MoveLine,
    "move-undone": MoveUndoneLine,
    "air": AirLine,
    "air-corrected": AirCorrectedLine,
    "identity": IdentityLine,
    "brakes": BrakesLine,
    "note": NoteLine,
    "thickness": ThicknessLine,
    "thickness-withdrawn": ThicknessWithdrawnLine,
    "photo": PhotoLine,
    "photo-withdrawn": PhotoWithdrawnLine,
}


@dataclass(frozen=True, slots=True)
class NumberedRequest:
    """One line of events as a request to the gate, with its line number and instant."""

    line: int
    at: datetime
    request: Request


def read_event_lines(path: Path, job: Job) -> list[NumberedRequest]:
    """Return every line of a file as a request about ``job``; empty lines are skipped.

    Raises:
        BadFile: with everything that is wrong, line by line; nothing is half-loaded.
    """
    text = decode(path, read_bytes(path, LARGEST_EVENTS))
    asked: list[NumberedRequest] = []
    findings: list[Finding] = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        if len(findings) >= MOST_FINDINGS:
            findings.append(Finding(str(path), None, "", _("what follows was not looked at; correct these first")))
            break
        try:
            parsed = parse_line(str(path), number, line)
        except BadFile as bad:
            findings += bad.findings
        else:
            asked.append(NumberedRequest(number, parsed.at, _request(parsed, job)))
    if findings:
        raise BadFile(findings)
    return asked


def parse_line(file: str, number: int, line: str) -> EventLine:
    """Return one line as its model; BadFile when it is none."""
    source = ParsedText(file, _object(file, number, line), line=number)
    expect_readable(source)
    act = source.data.get("act")
    if act is None:
        reason = _("key 'act' is missing; write e.g. {example}").format(example=source.example("act", "start"))
        raise BadFile([source.finding(("act",), reason)])
    model = _LINES.get(act) if isinstance(act, str) else None
    if model is None:
        hint = (
            did_you_mean(act, _LINES)
            if isinstance(act, str)
            else _("; write one of {listed}").format(listed=", ".join(_LINES))
        )
        raise BadFile(
            [source.finding(("act",), _("{act} is nothing that can be done{told}").format(act=shown(act), told=hint))]
        )
    try:
        return model.model_validate(source.data)
    except ValidationError as error:
        raise BadFile(findings_of(error, model, source)) from error


def _object(file: str, number: int, line: str) -> dict[str, object]:
    def wrong(reason: str, column: int | None = None) -> BadFile:
        return BadFile([Finding(file, number, "", reason, column)])

    if len(line) > LONGEST_EVENT:
        reason = _("this line has {n} characters; at most {most} are read")
        raise wrong(reason.format(n=len(line), most=LONGEST_EVENT))
    try:
        value = json.loads(line, parse_constant=_no_constant, object_pairs_hook=_each_key_once)
    except json.JSONDecodeError as error:
        reason = _("this is not JSON: {msg}; one event is one line of JSON in braces").format(msg=error.msg.lower())
        raise wrong(reason, error.colno) from error
    except _UnfitError as unfit:
        raise wrong(str(unfit)) from unfit
    except (ValueError, RecursionError) as error:
        raise wrong(_("a value is out of all range")) from error
    if not isinstance(value, dict):
        raise wrong(_("{value} is no event; one event is one line of JSON in braces").format(value=shown(value)))
    return value


class _UnfitError(ValueError):
    """JSON that parses, but is ambiguous."""


def _no_constant(name: str) -> float:
    raise _UnfitError(
        _("{name} is not a number; write a number, or leave the key out where nothing was read").format(name=name)
    )


def _each_key_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    keys = [key for key, _ in pairs]
    twice = [key for key in keys if keys.count(key) > 1]
    if twice:
        raise _UnfitError(_("key {name!r} stands twice; leave one of them out").format(name=twice[0]))
    return dict(pairs)


def _request(line: EventLine, job: Job) -> Request:
    by = None if line.by is None else Person(line.by)
    if isinstance(line, StartLine | FinishLine):
        begins_or_ends = Start if isinstance(line, StartLine) else FinishStep
        return begins_or_ends(job.id, _touched(line, job), StepId(line.step), by, line.deviation)
    if isinstance(line, UndoLine | CoverLine | CloseSetLine | SendBackLine):
        return _of_zones(line, job, by)
    if isinstance(line, OfZonesLine):
        return _of_named(line, job, by)
    if isinstance(line, BaysLine | MoveLine | MoveUndoneLine):
        return _of_place(line, job, by)
    if isinstance(line, AirLine):
        place = None if line.place is None else PlaceId(line.place)
        return ReadAir(line.air_c, line.rh_percent, line.surface_c, by, line.read_at, line.source, place)
    if isinstance(line, AirCorrectedLine):
        return CorrectAir(line.corrects, _becomes(line), line.source, by)
    if isinstance(line, ThicknessLine | ThicknessWithdrawnLine | PhotoLine | PhotoWithdrawnLine):
        return _of_arrival(line, job, by)
    if isinstance(line, IdentityLine | BrakesLine | NoteLine):
        return _told(line, job, by)
    raise TypeError(line)


def _of_named(line: OfZonesLine, job: Job, by: Person | None) -> Request:
    names = line.zones or ((line.zone,) if line.zone else ())
    if isinstance(line, SpotLine | NoSpotLine):
        worked, step = tuple(zone for name in names for zone in _zones(name, job)), StepId(line.step)
        if isinstance(line, NoSpotLine):
            return SkipSpot(job.id, worked, step, by)
        return TrySpot(
            job.id, worked, step, SpotCard.model_validate(line.model_dump(include=set(SpotCard.model_fields))), by
        )
    if isinstance(line, WetLine | PassedLine):
        worked = tuple(zone for name in names for zone in _zones(name, job))
        return (
            ReportWet(job.id, worked, line.wet_at, by) if isinstance(line, WetLine) else PassZones(job.id, worked, by)
        )
    zones = tuple(zone for name in names for zone in _of_the_form(name, job))
    if isinstance(line, LiftMarkLine):
        return LiftMark(job.id, zones, line.kind, line.what, line.point, by)
    assert isinstance(line, MarkLine), "the last of the lines about zones"
    return SetMark(job.id, zones, Mark.model_validate(line.model_dump(include=set(Mark.model_fields))), by)


def _told(line: IdentityLine | BrakesLine | NoteLine, job: Job, by: Person | None) -> Request:
    if isinstance(line, IdentityLine):
        return GiveIdentity(job.id, Identity.model_validate(line.model_dump(include=set(Identity.model_fields))), by)
    if isinstance(line, BrakesLine):
        return CheckBrakes(job.id, BrakeCheck.model_validate(line.model_dump(include=set(BrakeCheck.model_fields))), by)
    return WriteNote(job.id, line.text, () if line.zone is None else _zones(line.zone, job), by)


def _of_place(line: BaysLine | MoveLine | MoveUndoneLine, job: Job, by: Person | None) -> Request:
    if isinstance(line, BaysLine):
        return SetUpPlaces(line.bays)
    if isinstance(line, MoveUndoneLine):
        return UndoMove(job.id, by)
    return MoveCar(job.id, None if line.to is None else PlaceId(line.to), by, line.deviation, line.curing, line.spot)


def _of_arrival(
    line: ThicknessLine | ThicknessWithdrawnLine | PhotoLine | PhotoWithdrawnLine, job: Job, by: Person | None
) -> Request:
    zone = None if line.zone is None else ZoneId(line.zone)
    if isinstance(line, PhotoLine):
        return AddPhoto(job.id, zone, line.sha256, line.kind, line.size, line.phase, by)
    if isinstance(line, PhotoWithdrawnLine):
        return WithdrawPhoto(job.id, zone, line.sha256, by)
    if isinstance(line, ThicknessLine):
        return ReadThickness(job.id, ((ZoneId(line.zone), line.um),), by, line.source)
    return WithdrawThickness(job.id, ZoneId(line.zone), line.number, by)


def _touched(line: StartLine | FinishLine, job: Job) -> tuple[ZoneId, ...]:
    return tuple(zone for name in (line.zone, *line.also) for zone in _zones(name, job))


def _of_zones(
    line: UndoLine | CoverLine | CloseSetLine | SendBackLine, job: Job, by: Person | None
) -> Undo | Cover | Uncover | CloseSet | SendBack:
    zones = _zones(line.zone, job)
    if isinstance(line, UndoLine):
        return Undo(job.id, zones, by)
    if isinstance(line, CoverLine):
        return (Cover if line.act == "cover" else Uncover)(job.id, zones, by)
    if isinstance(line, CloseSetLine):
        return CloseSet(job.id, zones, by)
    return SendBack(job.id, zones, StepId(line.step), line.reason, by)


def _becomes(line: AirCorrectedLine) -> ReadAir | None:
    if line.air_c is None or line.rh_percent is None:
        return None
    return ReadAir(line.air_c, line.rh_percent, line.surface_c, read_at=line.read_at)


def _zones(name: str, job: Job) -> tuple[ZoneId, ...]:
    """Return the worked zones of a zone id or set name; the gate refuses one that is not worked."""
    return job.zones_named(name) or (ZoneId(name),)


def _of_the_form(name: str, job: Job) -> tuple[ZoneId, ...]:
    """Return the zones of a zone id or set name, worked or not; the gate refuses one that the form lacks."""
    try:
        return job.vehicle.zones_of((name,))
    except KeyError:
        return (ZoneId(name),)


def opened_at(job: Job, asked: Sequence[NumberedRequest]) -> datetime:
    """Return when the job counts as opened: its start, or the first event where that came before."""
    return min([job.start, *(a.at for a in asked[:1])])
