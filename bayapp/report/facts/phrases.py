"""The words of the paper: times, durations, waits, and a sentence for each kind of entry."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta, tzinfo

from bayapp.job.model.brakes import RETIGHTEN_AFTER_KM
from bayapp.job.model.ids import Person
from bayapp.job.model.recipe import Wait
from bayapp.job.text.naming import capital, value_text
from bayapp.report.facts.air_values import AirChange, AirReading, Distrusted, WaitMoved
from bayapp.report.facts.day_record import (
    AloneRecord,
    AsideRecord,
    BottleRecord,
    BrakeRecord,
    ClockJumpRecord,
    CorrectedTime,
    CoverRecord,
    DayRecord,
    DeviationRecord,
    IdentityCorrected,
    IdentityRecord,
    JobChange,
    Kept,
    LapseRecord,
    MarkRecord,
    NoteRecord,
    OutageRecord,
    PhotoRecord,
    PutRightRecord,
    StepRecord,
    TakenBack,
    ThicknessRecord,
    WaitKept,
)
from bayapp.text.days import day_of_week, day_text, month_and_year, short_date
from bayapp.text.figures import clock_time, distance_text, figure, percent, short_figure, temperature, volume, warmth
from bayapp.text.language import _, ngettext

SHORT_NAME = 5


class Phrases:
    """Puts the record into words: times in the shop's time zone, people by their short keys."""

    def __init__(self, record: DayRecord, tz: tzinfo) -> None:
        self._day = record.day
        self._tz = tz
        self.keys = person_keys(_people(record))

    def clock(self, moment: datetime) -> str:
        """Return the time of day, with the date where it is another day: "14:26", "26 Nov 02:10"."""
        local = moment.astimezone(self._tz)
        time = clock_time(moment, self._tz, seconds=False)
        return time if local.date() == self._day else f"{short_date(local.date())} {time}"

    def moment(self, moment: datetime) -> str:
        """Return day and time of day: "Thu 26 Nov, 02:10"."""
        local = moment.astimezone(self._tz)
        return f"{day_of_week(local.date())}, {clock_time(moment, self._tz, seconds=False)}"

    def month(self, moment: datetime) -> str:
        """Return month and year: "Nov 2028"."""
        return month_and_year(moment.astimezone(self._tz).date())

    def exact(self, moment: datetime) -> str:
        """Return the time of day to the second, with the date where it is another day."""
        time, local = clock_time(moment, self._tz), moment.astimezone(self._tz)
        return time if local.date() == self._day else f"{short_date(local.date())} {time}"

    def span(self, step: StepRecord) -> str:
        """Return when a step was carried out: "14:26–14:31"."""
        if step.finished_at is None:
            return _("{time}, running").format(time=self.clock(step.started_at))
        return f"{self.clock(step.started_at)}–{self.clock(step.finished_at)}"

    def who(self, step: StepRecord) -> str:
        """Return who carried it out, by key; both when another person finished it."""
        people = dict.fromkeys(p for p in (step.started_by, step.finished_by) if p)
        return " + ".join(self.keys[p] for p in people)

    def crew(self) -> str:
        """Return the people with the keys they have in the tables: "Ash Miller (A), Bo"."""
        return ", ".join(name if key == name else f"{name} ({key})" for name, key in self.keys.items())

    def deviation(self, alike: Sequence[DeviationRecord], names: str) -> str:
        """Return one deviation of one or more zones as a sentence or two."""
        one = alike[0]
        told = (
            _("{time}, {zones}, {step}, by {by}. The rule: {said} The reason given: {reason}")
            if len(one.codes) == 1
            else _("{time}, {zones}, {step}, by {by}. The rules: {said} The reason given: {reason}")
        )
        text = told.format(
            time=self.exact(one.at), zones=names, step=one.title, by=one.by or _("nobody named"), said=one.said,
            reason=_stopped(one.reason),
        )  # fmt: skip
        if one.taken_back_at:
            text += " " + _("Taken back at {time}.").format(time=self.exact(one.taken_back_at))
        return text

    def lapse(self, alike: Sequence[LapseRecord], names: str) -> str:
        """Return one missed latest moment of one or more zones, and what it cost."""
        one = alike[0]
        if one.spoilt_by:
            said = _("{zones}: dust or water came over the wipe at {time} ({by}). It was to be wiped again.")
            return said.format(zones=names, time=self.exact(one.lapsed_at), by=one.spoilt_by)
        words = _("{zones}: the latest moment for {step} passed at {time}.")
        if one.unsure:
            words = _("{zones}: the latest moment for {step} may have passed while the machine was off from {time} on.")
        text = words.format(zones=names, step=one.title, time=self.exact(one.lapsed_at))
        if one.carried_on:
            return text + " " + _("A person carried on; see the deviations.")
        if one.back_to is None:
            return text + " " + _("A person must look before work goes on.")
        return text + " " + _("It cost: back to {back}.").format(back=one.back_to)

    def mark(self, alike: Sequence[MarkRecord], names: str) -> str:
        """Return what zones are marked as and what that forbids, who said so and when, and when it was over."""
        one, nobody = alike[0], _("nobody named")
        text = _("{zones}: {said}").format(zones=names, said=one.said)
        if one.set_at:
            text += " " + _("Marked at {time} by {by}.").format(time=self.exact(one.set_at), by=one.set_by or nobody)
        if one.lifted_at:
            over = _("No more from {time} on, says {by}.")
            text += " " + over.format(time=self.exact(one.lifted_at), by=one.lifted_by or nobody)
        return text

    def aside(self, alike: Sequence[AsideRecord], names: str) -> str:
        """Return which zones were set aside, when, by whom and why, and when they were taken up again."""
        one, nobody = alike[0], _("nobody named")
        text = _("{zones}: set aside at {time} by {by}. The reason given: {reason}").format(
            zones=names, time=self.exact(one.at), by=one.by or nobody, reason=_stopped(one.reason)
        )
        if one.taken_up_at is None:
            return text
        up = _("Taken up again at {time} by {by}.")
        return f"{text} {up.format(time=self.exact(one.taken_up_at), by=one.taken_up_by or nobody)}"

    def cover(self, alike: Sequence[CoverRecord], names: str) -> str:
        """Return which coats were covered, from when to when and by whom."""
        one, nobody = alike[0], _("nobody named")
        text = _("{zones}: covered at {time} by {by}.").format(
            zones=names, time=self.exact(one.at), by=one.by or nobody
        )
        if one.off_at is None:
            return text
        off = _("Taken off at {time} by {by}.") if not one.off_for else _("Taken off at {time} by {by} for: {step}.")
        return f"{text} {off.format(time=self.exact(one.off_at), by=one.off_by or nobody, step=one.off_for)}"

    def alone(self, one: AloneRecord) -> str:
        """Return which zone went on by itself, since when, and for whom it waited no longer."""
        return _("{zone}: {step} by itself from {time}, by {by}; without waiting for {others}.").format(
            zone=one.zone_name, step=one.title, time=self.exact(one.at), by=one.by or _("nobody named"),
            others=", ".join(one.without),
        )  # fmt: skip

    def change(self, change: JobChange, names: str) -> str:
        """Return what changed: crew, zones added, another recipe, the car back; when, by whom and why."""
        if change.left_at is not None:
            back = _("{time}: the car, which had left at {left}, was taken back by {by}.")
            by = change.by or _("nobody named")
            return back.format(time=self.exact(change.at), left=self.exact(change.left_at), by=by)
        if change.move is not None:
            return self._stood(change)
        if change.wet_at is not None or change.passed or change.unseen or change.spot is not None:
            return self._looked_at(change, names)
        if change.splash is not None:
            zones, out_of_reach = change.splash
            said = _("{time}, by {by}: {zones} is out of reach of the water used beside it.")
            reached = _("{time}, by {by}: {zones} is within reach of the water used beside it.")
            words = said if out_of_reach else reached
            return words.format(time=self.exact(change.at), by=change.by or _("nobody named"), zones=zones)
        if change.crew is not None:
            crew = ", ".join(change.crew) or _("nobody named")
            return _("{time}: from then on {crew}.").format(time=self.exact(change.at), crew=crew)
        who = {
            "time": self.exact(change.at),
            "zones": names,
            "recipe": change.recipe,
            "by": change.by or _("nobody named"),
        }
        if change.back_to:
            back = _("{time}, {zones}: sent back to {step} by {by}. The reason given: {reason}")
            return back.format(**who, step=change.back_to, reason=_stopped(change.reason))
        if change.added:
            text = _("{time}, {zones}: added to the job by {by}, worked by {recipe}.").format(**who)
            why = _("The reason given: {reason}").format(reason=_stopped(change.reason)) if change.reason else ""
            return f"{text} {why}".strip()
        return _("{time}, {zones}: goes on by {recipe}, by {by}. The reason given: {reason}").format(
            **who, reason=_stopped(change.reason)
        )

    def identity(self, identity: IdentityRecord) -> list[str]:
        """Return what the car's counter showed and what its owner wishes, a line for each that was told."""
        lines = []
        if identity.mileage is not None:
            lines.append(_("Mileage: {mileage}").format(mileage=distance_text(identity.mileage, identity.mileage_unit)))
        if identity.wishes:
            lines.append(_("Wished: {wishes}").format(wishes="; ".join(identity.wishes)))
        return lines

    def thickness(self, records: Sequence[ThicknessRecord]) -> list[str]:
        """Return the readings of all zones in one sentence, and one for each zone that is thin or unlike."""
        if not records:
            return []
        each = (f"{one.name} {figure(round(one.mean_um))} ({figure(one.least_um)}, {len(one.um)})" for one in records)
        words = _("Dry film on metal, mean in µm, in brackets the least and how many readings: {zones}.")
        said = [words.format(zones=", ".join(each))]
        said += [
            _("{zone} is thin: {least} µm at the least.").format(zone=capital(one.name), least=figure(one.least_um))
            for one in records
            if one.thin
        ]
        return [*said, *(self._unlike(one) for one in records if one.unlike)]

    def _unlike(self, one: ThicknessRecord) -> str:
        words = (
            _("{zone}, {mean} µm, is thicker than its neighbours, {neighbours} µm: likely repainted.")
            if one.unlike == "thicker"
            else _("{zone}, {mean} µm, is thinner than its neighbours, {neighbours} µm: likely polished before.")
        )
        mean, neighbours = (figure(round(um)) for um in (one.mean_um, one.neighbours_um or 0.0))
        return words.format(zone=capital(one.name), mean=mean, neighbours=neighbours)

    def photos(self, records: Sequence[PhotoRecord]) -> list[str]:
        """Return a sentence for each place that has photos: how many as it came and later, and their checksums."""
        places: dict[str | None, list[PhotoRecord]] = {}
        for one in records:
            places.setdefault(one.name, []).append(one)
        return [self._photos_of(name, photos) for name, photos in places.items()]

    def _photos_of(self, name: str | None, photos: Sequence[PhotoRecord]) -> str:
        before = sum(one.phase == "arrival" for one in photos)
        listed = ", ".join(f"{self.clock(one.at)} {one.sha256[:12]}" for one in photos)
        return _("{zone}: {before} as it came, {later} later; by their checksums {listed}.").format(
            zone=capital(name or _("the whole car")), before=before, later=len(photos) - before, listed=listed
        )

    def brakes(self, check: BrakeRecord) -> list[str]:
        """Return what is known of brakes and wheels, in a sentence or two; nothing where nobody has said anything."""
        if check == BrakeRecord():
            return []
        parts = {
            _("discs clean"): check.discs_clean,
            _("pedal firm"): check.pedal_firm,
            _("rolled and braked"): check.rolled_and_braked,
        }
        done, left = ([part for part, good in parts.items() if good is wanted] for wanted in (True, False))
        lines = [_("Brakes: {parts}.").format(parts=", ".join(done))] if done else []
        lines += [_("Not checked of the brakes: {parts}.").format(parts=", ".join(left))] if left else []
        return [*lines, *_wheels(check)]

    def identity_corrected(self, corrected: IdentityCorrected) -> str:
        """Return what had been said of the car and was put right: what it was, what it is, when and by whom."""
        parts = {"plate": _("plate"), "key-hook": _("key hook"), "mileage": _("mileage")}
        words = (
            _("{time}: the {part}, {was} before, is {becomes}, says {by}.")
            if corrected.becomes
            else _("{time}: the {part}, {was} before, was taken away by {by}.")
        )
        return words.format(
            time=self.exact(corrected.at),
            part=parts[corrected.part],
            was=corrected.was,
            becomes=corrected.becomes,
            by=corrected.by or _("nobody named"),
        )

    def _looked_at(self, change: JobChange, names: str) -> str:
        """Return that zones were seen and good, or what water came on them."""
        time, by = self.exact(change.at), change.by or _("nobody named")
        if change.spot is not None:
            return self._spot(change.spot, time, by)
        if change.unseen:
            let_go = _("{time}: let go by {by} all the same. {why} The reason given: {reason}")
            return let_go.format(time=time, by=by, why=change.unseen, reason=_stopped(change.reason))
        if change.wet_at is None:
            return _("{time}, {zones}: seen by light and good, by {by}.").format(time=time, zones=names, by=by)
        said = _("{time}, {zones}: got wet at {wet}, says {by}; kept dry anew from then, to be looked at for spots.")
        return said.format(time=time, zones=names, by=by, wet=self.exact(change.wet_at))

    def _spot(self, spot: tuple[str, str, bool], time: str, by: str) -> str:
        """Return a test spot, or that none was made."""
        card, result, chosen = spot
        if not card:
            return _("{time}: no test spot is made, says {by}.").format(time=time, by=by)
        said = _("{time}, test spot by {by}: {card}. Seen by light: {result}.")
        taken = _("{time}, test spot by {by}, chosen for the car: {card}. Seen by light: {result}.")
        return (taken if chosen else said).format(time=time, by=by, card=card, result=result)

    def _stood(self, change: JobChange) -> str:
        """Return where the car stands from then on."""
        words = {
            "in": _("{time}: it came in; it stood in: {place}."),
            "moved": _("{time}: moved by {by}; it stood in: {place}."),
            "undone": _("{time}: it had not been moved, says {by}; it stood in: {place}."),
        }[change.move or "moved"]
        if change.curing:
            words = _("{time}: moved out by {by} to cure; it stood in: {place}.")
        by, place = change.by or _("nobody named"), change.place or _("a bay without a name")
        said = words.format(time=self.exact(change.at), by=by, place=place)
        return (
            f"{said} {_('The reason given: {reason}').format(reason=_stopped(change.reason))}"
            if change.reason
            else said
        )

    def taken_back(self, undone: TakenBack) -> str:
        """Return what was undone, when and by whom."""
        words = {
            "start": _("{step}, start of {time}"),
            "finish": _("{step}, finish of {time}"),
            "correction": _("{step}, correction of {time}"),
            "cover": _("covered at {time}"),
            "uncover": _("cover taken off at {time}"),
            "set": _("by itself from {time}"),
            "back": _("sent back at {time}"),
            "wet": _("got wet, told at {time}"),
            "passed": _("seen by light and good at {time}"),
        }
        what = ", ".join(words[kind].format(step=step, time=self.exact(at)) for step, kind, at in undone.what)
        return _("{zone}: {what}; undone at {time} by {by}.").format(
            zone=undone.zone_name, what=what, time=self.exact(undone.undone_at), by=undone.by or _("nobody named")
        )

    def correction(self, corrected: CorrectedTime) -> str:
        """Return a corrected time with both times."""
        edge = _("start") if corrected.edge == "start" else _("finish")
        return _("{zone}: {edge} of {step} was {was}, is {becomes}; corrected at {time} by {by}.").format(
            zone=corrected.zone_name, edge=edge, step=corrected.title, was=self.exact(corrected.was),
            becomes=self.exact(corrected.becomes), time=self.exact(corrected.at), by=corrected.by or _("nobody named"),
        )  # fmt: skip

    def note(self, note: NoteRecord) -> str:
        """Return a note with its hour, zone and writer."""
        head = [self.clock(note.at), *([note.zone_name] if note.zone_name else []), *([note.by] if note.by else [])]
        return f"{', '.join(head)}: {note.text}"

    def reading(self, air: AirReading) -> str:
        """Return a reading of the air with its dew point and margin."""
        frost = _("{time}: {air}, frost point {dew}, margin {margin}")
        dew = _("{time}: {air}, dew point {dew}, margin {margin}")
        return (frost if air.dew_point_c < 0 else dew).format(
            time=self.clock(air.at), air=_air(air), dew=temperature(air.dew_point_c), margin=warmth(air.margin_c)
        )

    def air_change(self, change: AirChange) -> str:
        """Return what was put right about the air, by whom, and what that moved."""
        who = {
            "at": self.exact(change.at),
            "time": self.exact(change.measured_at),
            "by": change.by or _("nobody named"),
        }
        if change.source:
            who["by"] = _("{by} ({source})").format(by=who["by"], source=change.source) if change.by else change.source
        was, becomes = (_air(air) if air else "" for air in (change.was, change.becomes))
        words = {
            "corrected": _("{at}, corrected by {by}: the reading of {time} was {was}, is {becomes}."),
            "withdrawn": _("{at}, withdrawn by {by}: the reading of {time}, which was {was}."),
            "late": _("{at}, a reading of {time} came late, by {by}: {becomes}."),
            "read": _("{at}, read by {by}: {becomes}."),
        }[change.kind]
        text = words.format(**who, was=was, becomes=becomes)
        if change.was and change.becomes and change.was.at != change.becomes.at:
            text += " " + _("It was measured at {time}.").format(time=self.exact(change.becomes.at))
        return " ".join([text, *(self._moved(moved) for moved in change.moved)])

    def distrusted(self, distrust: Distrusted) -> str:
        """Return between which moments a sensor was not used, and who decided it."""
        text = _("{sensor}: its readings were not used from {at} until {until}, by {by}.").format(
            sensor=distrust.sensor,
            at=self.exact(distrust.at),
            until=self.exact(distrust.until),
            by=distrust.by or _("nobody named"),
        )
        if distrust.ended_by in (None, distrust.by):
            return text
        return text + " " + _("Taken into use again by {by}.").format(by=distrust.ended_by)

    def moved_by_the_air(self, moves: Sequence[WaitMoved]) -> str:
        """Return how the readings that came in time moved one wait, from the first to the last."""
        first, last = moves[0], moves[-1]
        whole = replace(last, opens_was=first.opens_was, lapses_was=first.lapses_was)
        by = ngettext("{n} reading moved it.", "{n} readings moved it.", len(moves)).format(n=len(moves))
        return f"{self._moved(whole)} {by}"

    def _moved(self, move: WaitMoved) -> str:
        """Return by how much a wait moved: its opening if that moved, else its latest moment."""
        what = {"zones": capital(move.zone_names), "step": move.title}
        opening = move.opens_was != move.opens_at
        was, now = (move.opens_was, move.opens_at) if opening else (move.lapses_was, move.lapses_at)
        if now is None:
            return _("{zones}, {step}: could not be timed any more.").format(**what)
        what["now"] = self.exact(now)
        if was is None:
            text = _("{zones}, {step}: opens at {now}.") if opening else _("{zones}, {step}: closes at {now}.")
            return text.format(**what)
        later = (
            _("{zones}, {step}: opens at {now}, not {was}, {by} later."),
            _("{zones}, {step}: closes at {now}, not {was}, {by} later."),
        )
        sooner = (
            _("{zones}, {step}: opens at {now}, not {was}, {by} sooner."),
            _("{zones}, {step}: closes at {now}, not {was}, {by} sooner."),
        )
        text = (later if now > was else sooner)[0 if opening else 1]
        return text.format(**what, was=self.exact(was), by=stretch(abs(now - was)))

    def bottle(self, bottle: BottleRecord, zones: Mapping[str, float | None]) -> str:
        """Return a bottle with its batch and expiry, and about how much each zone took from it."""
        batch = _("batch {batch}").format(batch=bottle.batch) if bottle.batch else _("no batch told")
        until = (
            _("good until {day}").format(day=day_text(bottle.expires_on)) if bottle.expires_on else _("no expiry told")
        )
        parts = [name if ml is None else f"{name} {volume(ml)}" for name, ml in zones.items()]
        total = sum(ml for ml in zones.values() if ml is not None)
        estimate = _("Estimated, not measured: {total} in all.").format(total=volume(total)) if total else ""
        return _("Bottle {number}, {product}, {batch}, {until}: {zones}. {about}").format(
            number=bottle.number, product=bottle.product, batch=batch, until=until, zones=", ".join(parts),
            about=estimate,
        ).strip()  # fmt: skip

    def no_bottle(self, product: str | None, zones: str) -> str:
        """Return what was used without a bottle being told, and where; None: a coat of an unknown product."""
        return _("{product} on {zones}").format(product=product or _("a coat of no named product"), zones=zones)

    def jump(self, jump: ClockJumpRecord) -> str:
        """Return a jump of the machine's clock."""
        way = _("forward") if jump.by > timedelta(0) else _("back")
        text = _("{time}: this machine's clock jumped {way} by {by}; running waits did not move.").format(
            time=self.exact(jump.at), way=way, by=stretch(abs(jump.by))
        )
        return text if jump.settled else text + " " + _("Nobody had yet said which time is right.")

    def outage(self, outage: OutageRecord) -> str:
        """Return from when to when the machine was off, and how that is known."""
        known = {
            "measured": _("{since}: the machine was off until {until}, as a time service measured."),
            "told": _("{since}: the machine was off until {until}, as a person said."),
            "asked": _("{since}: the machine was off; nobody had yet said for how long."),
        }
        unsure = _(
            "{since}: the machine was off, nobody knows for how long. Times from {until} on are not certain: each may "
            "be later, by minutes or by days. Waits were counted as if no time had passed, windows as if all had."
        )
        text = known.get(outage.length, unsure)
        return text.format(since=self.exact(outage.since), until=self.exact(outage.until))

    def put_right(self, right: PutRightRecord) -> str:
        """Return that the time was put right, by how much and by whom."""
        by = right.by or _("nobody named")
        if right.answer == "unknown":
            return _("{time}: {by} did not know how long the machine had been off.").format(
                time=self.exact(right.at), by=by
            )
        if right.answer == "service":
            words = _("{time}: the time was put right by a time service; the board went {way} by {moved}.")
        else:
            words = _("{time}: {by} said what time it was; the board went {way} by {moved}.")
        way = _("forward") if right.moved >= timedelta(0) else _("back")
        return words.format(time=self.exact(right.at), by=by, way=way, moved=stretch(abs(right.moved)))


def _air(air: AirReading) -> str:
    """Return what a reading says: "20.0 °C, 50 %, surface 19.0 °C"."""
    said = {"air": temperature(air.air_c), "humidity": percent(air.rh_percent)}
    if air.surface_c is None:
        return _("{air}, {humidity}").format(**said)
    return _("{air}, {humidity}, surface {surface}").format(**said, surface=temperature(air.surface_c))


def stretch(length: timedelta, up: bool = False) -> str:
    """Return a stretch as m:ss, or h:mm:ss from an hour on; cut to the second, or rounded up."""
    seconds = -((-length) // timedelta(seconds=1)) if up else length // timedelta(seconds=1)
    minutes, seconds = divmod(seconds, 60)
    if minutes < 60:
        return f"{minutes}:{seconds:02d}"
    return f"{minutes // 60}:{minutes % 60:02d}:{seconds:02d}"


def actual(wait: WaitKept) -> str:
    """Return the wait as it was; a broken one never rounds to a kept one."""
    return "" if wait.actual is None else stretch(wait.actual, up=wait.kept is Kept.LATE)


def verdict(wait: WaitKept) -> str:
    """Return how a broken wait was broken, in plain words; nothing when it was kept."""
    if wait.kept is Kept.EARLY:
        return _("too early by {by}").format(by=stretch(wait.off_by, up=True))
    if wait.kept is Kept.LATE:
        return _("too late by {by}").format(by=stretch(wait.off_by, up=True))
    if wait.kept is Kept.NOT_BEGUN and wait.since:
        return _("in air that could not be timed")
    return _("others were not ready") if wait.kept is Kept.NOT_BEGUN else ""


def ripened(wait: WaitKept | None) -> str:
    """Return the sheet's wait beside what the air made of it: "5:00 at 20 °C, 7:24 by the air"; else nothing."""
    found = wait.ripened if wait else None
    if found is None:
        return ""
    said = {"base": stretch(found.base), "value": value_text(found.by, found.base_at)}
    base = (_("latest {base} at {value}") if found.latest else _("{base} at {value}")).format(**said)
    if found.in_this_air is None:
        return _("{base}, not timed by the air").format(base=base)
    sentence = _("{base}, {wait} by rule of thumb") if found.thumb else _("{base}, {wait} by the air")
    return sentence.format(base=base, wait=stretch(found.in_this_air, up=not found.latest))


def required(wait: Wait, after: str) -> str:
    """Return what a recipe asks: "5–60 min", "1 min to 8 min from the first stroke", with what it counts from."""
    low, high = short_figure(wait.min), "" if wait.max is None else short_figure(wait.max)
    if not high and wait.min == 0:
        return _("after {what}").format(what=after)
    if not high:
        text = _("at least {min} min").format(min=low)
    elif wait.max_from == "start":
        text = _("from {min} min after, to {max} min from first stroke").format(min=low, max=high)
        if wait.min == 0:
            text = _("to {max} min from first stroke").format(max=high)
    else:
        text = _("{min}–{max} min").format(min=low, max=high) if wait.min else _("to {max} min").format(max=high)
    if wait.by_table:
        text = _("{wait} by the air").format(wait=text)
    return _("{wait} after {what}").format(wait=text, what=after) if after else text


def person_keys(people: Iterable[Person]) -> dict[Person, str]:
    """Return a short key for each person: short names as they are, else initials, numbered where they clash."""
    names = list(dict.fromkeys(people))
    if all(len(name) <= SHORT_NAME for name in names):
        return {name: name for name in names}
    keys: dict[Person, str] = {}
    for name in names:
        initials = "".join(part[0] for part in name.split()[:3]).upper()
        taken = set(keys.values())
        numbered = (f"{initials}{n}" for n in range(2, len(names) + 2))
        keys[name] = initials if initials not in taken else next(key for key in numbered if key not in taken)
    return keys


def _people(record: DayRecord) -> list[Person]:
    worked = (by for zone in record.zones for step in zone.steps for by in (step.started_by, step.finished_by))
    return [*record.crew, *(by for by in worked if by)]


def _stopped(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def zones_count(n: int) -> str:
    """Return "1 zone", "4 zones"."""
    return ngettext("{n} zone", "{n} zones", n).format(n=n)


def _wheels(check: BrakeRecord) -> list[str]:
    """Return what is to be done about wheels that came off (common practice, no source)."""
    if not check.wheels_off:
        return []
    again = _("Wheels came off: tighten their bolts again after about {km} km, as the vehicle's maker says.")
    torque = (
        _("The bolts were tightened to {torque} Nm.").format(torque=short_figure(check.torque_nm))
        if check.torque_nm is not None
        else _("The torque of the bolts was not written down.")
    )
    return [f"{again.format(km=RETIGHTEN_AFTER_KM)} {torque}"]
