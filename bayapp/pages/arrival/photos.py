"""The page of a zone's photos: as the car came and later, side by side, and what can be done with each."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from bayapp.job import AddPhoto, JobState, WithdrawPhoto
from bayapp.job.gate.photo_gate import phase_of
from bayapp.job.model.ids import JobId, Person, ZoneId
from bayapp.job.state.events import Phase, PhotoAdded
from bayapp.job.text.naming import capital, zones_title
from bayapp.text.figures import moment_text
from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class PhotoSide:
    """One of the two sides of the page.

    Attributes:
        photo: the one that is shown; None where there is none of this phase.
        caption: when it was added and by whom.
        count: its place among those of its phase, for the button that turns to the next; empty where it is alone.
        nothing: what stands in its place where there is none.
        to_other: what a touch makes of it: a photo of the other phase.
    """

    phase: Phase
    title: str
    photo: PhotoAdded | None
    caption: str
    count: str
    nothing: str
    to_other: str


@dataclass(frozen=True, slots=True)
class PhotosView:
    """All that the page shows."""

    title: str
    subtitle: str
    sides: tuple[PhotoSide, PhotoSide]


@dataclass(frozen=True, slots=True)
class Turned:
    """Which photo of each phase is shown, by its place from the newest."""

    arrival: int = 0
    later: int = 0

    def of(self, phase: Phase) -> int:
        """Return the place of a phase."""
        return self.arrival if phase == "arrival" else self.later

    def next(self, phase: Phase) -> "Turned":
        """Return what is shown after the next photo of a phase."""
        if phase == "arrival":
            return Turned(self.arrival + 1, self.later)
        return Turned(self.arrival, self.later + 1)


def photos_view(
    car: JobState, zone: ZoneId | None, turned: Turned, at: datetime, tz: tzinfo, said: Sequence[str] = ()
) -> PhotosView:
    """Return what the page shows of a zone, or of the whole car; ``said``: what is under way, or went wrong."""
    title = _("Photos: {zone}").format(zone=zone_text(car, zone))
    kept = _("Kept as they come, with all that the camera wrote into them: time, place, owner.")
    return PhotosView(
        title,
        " ".join(said) or kept,
        (_side(car, zone, "arrival", turned, at, tz), _side(car, zone, "later", turned, at, tz)),
    )


def zone_text(car: JobState, zone: ZoneId | None) -> str:
    """Return what a zone is called, or that it is the whole car."""
    return _("the whole car") if zone is None else zones_title(car.job, (zone,))


def of_phase(car: JobState, zone: ZoneId | None, phase: Phase) -> list[PhotoAdded]:
    """Return the photos of a zone of a phase, the newest first."""
    return [photo.added for photo in reversed(car.photos_of(zone)) if photo.added.phase == phase]


def other_phase(phase: Phase) -> Phase:
    """Return the phase that a photo has if it has not this one."""
    return "later" if phase == "arrival" else "arrival"


def moved(photo: PhotoAdded, job: JobId, by: Person | None) -> tuple[WithdrawPhoto, AddPhoto]:
    """Return the requests that make a photo one of the other phase."""
    away = WithdrawPhoto(job, photo.zone, photo.sha256, by)
    again = AddPhoto(job, photo.zone, photo.sha256, photo.kind, photo.size, other_phase(photo.phase), by)
    return away, again


def counted_text(car: JobState) -> str:
    """Return in a line how many photos a car has; empty where it has none."""
    count = sum(photo.counts for photo in car.photos)
    return ngettext("{n} photo", "{n} photos", count).format(n=count) if count else ""


def with_photos(car: JobState) -> frozenset[ZoneId]:
    """Return the zones that have photos."""
    return frozenset(photo.added.zone for photo in car.photos if photo.counts and photo.added.zone is not None)


def _side(car: JobState, zone: ZoneId | None, phase: Phase, turned: Turned, at: datetime, tz: tzinfo) -> PhotoSide:
    photos = of_phase(car, zone, phase)
    place = turned.of(phase) % len(photos) if photos else 0
    photo = photos[place] if photos else None
    arrival = phase == "arrival"
    return PhotoSide(
        phase=phase,
        title=_("As it came") if arrival else _("Later"),
        photo=photo,
        caption=_caption(photo, at, tz) if photo else "",
        count=_("{n} of {most}").format(n=place + 1, most=len(photos)) if len(photos) > 1 else "",
        nothing=_nothing(car, zone, phase),
        to_other=_("It was taken later") if arrival else _("It was taken at arrival"),
    )


def _caption(photo: PhotoAdded, at: datetime, tz: tzinfo) -> str:
    when = moment_text(photo.at, at, tz)
    return _("{when}, {by}").format(when=when, by=photo.by) if photo.by else when


def _nothing(car: JobState, zone: ZoneId | None, phase: Phase) -> str:
    """Return what stands where no photo is: that the next one comes here, or that it cannot any more by itself."""
    if phase_of(car, zone) == phase:
        return _("The next photo comes here.")
    if phase == "arrival":
        return _("None was kept before the work.")
    return capital(_("photos come here once it is polished or coated."))
