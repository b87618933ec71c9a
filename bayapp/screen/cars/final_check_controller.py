"""Asks what is seen by light before a car leaves, and takes down its brakes and wheels."""

from enum import StrEnum

from bayapp.job import CheckBrakes, PassZones, SendBack
from bayapp.job.model.brakes import BrakeCheck
from bayapp.job.model.ids import JobId
from bayapp.job.text.naming import capital, zones_in_brief, zones_title
from bayapp.pages.cars.final_check import Fault, fault_words, final_check, ways_back
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import AgainFrom, LookAt, Page
from bayapp.screen.frame.choices import Choices
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.widgets.choice_page import Entry
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.figures import short_figure
from bayapp.text.language import _, ngettext

LEAST_NM, MOST_NM = 10, 1000


class BrakePart(StrEnum):
    """What is checked of brakes and wheels, by the name of its field."""

    DISCS = "discs_clean"
    PEDAL = "pedal_firm"
    ROLLED = "rolled_and_braked"
    WHEELS = "wheels_off"


class FinalCheckController:
    """Takes down by touch what is good, what is done again and from where, and the brakes of the car in view."""

    def __init__(
        self,
        selection: Selection,
        pages: PageStack,
        sender: RequestSender,
        choices: Choices,
        typing: TypedEntryController,
    ) -> None:
        self._selection, self._pages, self._sender = selection, pages, sender
        self._choices, self._typing = choices, typing

    def open(self) -> None:
        """Show what is still to be seen on the car in view."""
        job = self._selection.job
        if job is None:
            return
        view = final_check(self._selection.bay, job, self._selection.by)
        entries: list[Entry[PassZones | LookAt | Page]] = []
        if view.good:
            many = len(view.good.zones)
            words = ngettext("{n} zone, by one touch", "{n} zones, by one touch", many).format(n=many)
            entries.append(Entry(view.good, _("All good"), words, glyph="light"))
        entries += [Entry(LookAt(job, part.zones), part.title, part.detail, chosen=part.seen) for part in view.parts]
        entries.append(Entry(Page.BRAKES, _("Brakes and wheels"), self._brakes_text(job), glyph="change"))
        entries.append(Entry(Page.CLOSE, _("Car leaves the bay"), glyph="car"))
        subtitle = " ".join((view.summary, *view.told))
        show_paged(
            _("Final check: {car}").format(car=self._selection.bay.state.jobs[job].job.name),
            subtitle,
            entries,
            self._chosen,
            self._choices.show,
        )

    def _chosen(self, key: PassZones | LookAt | Page) -> None:
        if not isinstance(key, PassZones):
            self._pages.want(key)
        elif self._sender.send_or_show_refusal(key):
            self.open()

    def open_part(self, wanted: LookAt) -> None:
        """Ask what is seen on some zones."""
        car = self._selection.bay.state.jobs[wanted.job]
        good = PassZones(wanted.job, wanted.zones, self._selection.by)
        entries: list[Entry[PassZones | Fault | LookAt]] = []
        if self._selection.bay.judge(good).accepted:
            entries.append(Entry(good, _("Good"), glyph="light"))
        again = _("Again: {fault}")
        entries += [Entry(fault, again.format(fault=fault_words(fault))) for fault in Fault]
        if len(wanted.zones) > 1:
            names = car.job.zone_names
            entries += [Entry(LookAt(wanted.job, (z,)), capital(names[z]), _("this one alone")) for z in wanted.zones]

        def chosen(key: PassZones | Fault | LookAt) -> None:
            if isinstance(key, LookAt):
                self.open_part(key)
            elif isinstance(key, PassZones):
                self._chosen(key)
            else:
                self._pages.want(AgainFrom(wanted.job, wanted.zones, key))

        zones = capital(zones_title(car.job, wanted.zones))
        subtitle = _("Look along it with the lamp, from both sides.")
        show_paged(_("{zones}: seen by light").format(zones=zones), subtitle, entries, chosen, self._choices.show)

    def open_again(self, wanted: AgainFrom) -> None:
        """Ask from which step zones are done again."""
        bay, car = self._selection.bay, self._selection.bay.state.jobs[wanted.job]
        entries = [
            Entry(way.request, way.title, _("as a rule") if way.likely else "", chosen=way.likely)
            for way in ways_back(bay, wanted.job, wanted.zones, wanted.fault, self._selection.by)
        ]
        fault, zones = fault_words(wanted.fault), capital(zones_in_brief(car.job, wanted.zones))
        title = _("Again from which step?")
        if not entries:
            none = _("These zones share no step that was done: choose one of them.")
            self._choices.tell(title, zones, none)
            return
        subtitle = _("{zones}: {fault}. What was done from there on counts no more.").format(zones=zones, fault=fault)
        show_paged(title, subtitle, entries, self._send_back, self._choices.show)

    def _send_back(self, request: SendBack) -> None:
        if self._sender.send_or_show_refusal(request):
            self.open()

    # Brakes and wheels.

    def open_brakes(self) -> None:
        """Show what is known of brakes and wheels; a touch says the contrary."""
        job = self._selection.job
        if job is None:
            return
        check = self._check(job)
        words = {
            BrakePart.DISCS: (_("Discs clean"), _("no coat, no polish, no dressing on them")),
            BrakePart.PEDAL: (_("Pedal firm"), _("pumped until it stands")),
            BrakePart.ROLLED: (_("Rolled and braked"), _("slowly, before it goes on the road")),
            BrakePart.WHEELS: (_("Wheels came off"), _("bolts tightened again after about 50 km")),
        }
        entries: list[Entry[BrakePart | None]] = [
            Entry(part, *words[part], chosen=bool(getattr(check, part.value))) for part in BrakePart
        ]
        if check.wheels_off:
            torque = _("{n} Nm").format(n=short_figure(check.torque_nm)) if check.torque_nm else _("not said")
            entries.append(Entry(None, _("Torque of the bolts"), torque, chosen=check.torque_nm is not None))
        subtitle = _("Common practice, no source: the vehicle's maker comes first.")
        self._choices.show(_("Brakes and wheels"), subtitle, entries, lambda part: self._brake(job, part))

    def _brake(self, job: JobId, part: BrakePart | None) -> None:
        if part is None:
            subtitle = _("As the vehicle's maker says, {least} to {most} Nm.").format(least=LEAST_NM, most=MOST_NM)
            typing = Typing(Kind.NUMBER, _("Torque of the bolts"), subtitle, unit="Nm", check=_fault_in_torque)
            known = self._check(job).torque_nm
            self._typing.ask(
                typing.opened_with(known),
                lambda typed: self._say(job, torque_nm=typed.number),
                unchanged=self.open_brakes,
            )
        else:
            self._say(job, **{part.value: not getattr(self._check(job), part.value)})

    def _say(self, job: JobId, **said: object) -> None:
        check = BrakeCheck.model_validate({**dict(self._check(job)), **said})
        if not check.wheels_off and check.torque_nm is not None:
            check = check.model_copy(update={"torque_nm": None})
        if self._sender.send_or_show_refusal(CheckBrakes(job, check, self._selection.by)):
            self.open_brakes()

    def _check(self, job: JobId) -> BrakeCheck:
        return self._selection.bay.state.jobs[job].brakes

    def _brakes_text(self, job: JobId) -> str:
        return _("all checked") if self._check(job).all_good else _("discs, pedal, a first roll; torque")


def _fault_in_torque(number: float | None) -> str:
    if number is None or LEAST_NM <= number <= MOST_NM:
        return ""
    return _("between {least} and {most} Nm").format(least=LEAST_NM, most=MOST_NM)
