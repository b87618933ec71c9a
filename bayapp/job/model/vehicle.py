"""The vehicle form: named zones of a drawing and sets over them."""

from collections import Counter
from collections.abc import Iterable
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, model_validator

from bayapp.job.model.ids import THE_CAR, SetName, ZoneId
from bayapp.text.language import _

Slug = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Surface = Literal["car", "paint", "glass", "rim", "tyre", "caliper", "tip", "lamp", "trim", "cabin", "screen", "metal"]


class FileModel(BaseModel):
    """What every file a person writes has in common: frozen, and no key is ever ignored."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True, populate_by_name=True)


class Zone(FileModel):
    """One surface that is worked by itself.

    Attributes:
        id: the ``id`` of its path in the drawing.
        name: what a person calls it, lower case, e.g. "front left rim".
        short: its name where its place in the drawing already says the side, e.g. "rim".
        surface: what it is made of; a ``screen`` is of clear plastic, ``metal`` is bare, ``tip`` bare and hot in use.
            ``car`` is the car itself, for work on the whole of it.
        area_m2: typical area in square metres, more than 0.
        neighbours: zones one can reach without a walk.
    """

    id: Slug
    name: str = Field(min_length=1, max_length=90)
    short: str = Field(default="", max_length=45)
    surface: Surface
    area_m2: float = Field(strict=True, gt=0, le=20, allow_inf_nan=False)
    neighbours: tuple[Slug, ...] = ()


class VehicleForm(FileModel):
    """A drawing with named zones, and sets of zones.

    ``format`` is ``bayapp-vehicle/1``. ``sets`` maps a set name to zone ids or other set names.
    """

    format: Literal["bayapp-vehicle/1"]
    name: Slug
    title: str = Field(min_length=1, max_length=90)
    drawing: str = Field(pattern=r"^[\w.-]+\.svg$")
    zone: tuple[Zone, ...] = Field(min_length=1)
    sets: dict[Slug, tuple[Slug, ...]] = Field(default_factory=dict)
    set_titles: dict[Slug, str] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _names_stand_for_one_thing(self) -> Self:
        twice = [name for name, n in Counter(z.id for z in self.zone).items() if n > 1]
        if twice:
            raise ValueError(_("zone id {name!r} stands twice; give each zone an id of its own").format(name=twice[0]))
        zones = {z.id for z in self.zone}
        for clash in zones & self.sets.keys():
            raise ValueError(_("{clash!r} is both a zone and a set; rename one of them").format(clash=clash))
        for zone in self.zone:
            if zone.surface == "car" and zone.id != THE_CAR:
                raise ValueError(
                    _("zone {id!r} is the car itself and must have the id {car!r}").format(id=zone.id, car=THE_CAR)
                )
            for other in set(zone.neighbours) - zones:
                raise ValueError(
                    _("zone {id!r} names a neighbour {other!r} that is no zone of this form").format(
                        id=zone.id, other=other
                    )
                )
        self._check_sets()
        for name in self.set_titles.keys() - self.sets.keys():
            raise ValueError(_("set_titles names {name!r}, which is no set of this form").format(name=name))
        return self

    def _check_sets(self) -> None:
        known: dict[SetName, tuple[ZoneId, ...]] = {}
        for name in self.sets:
            self._expand(SetName(name), (), known)

    def _expand(
        self, name: SetName, inside: tuple[str, ...], known: dict[SetName, tuple[ZoneId, ...]]
    ) -> tuple[ZoneId, ...]:
        """Return the zones of a set; each set is looked at once, and is then ``known`` to those that hold it."""
        if name in known:
            return known[name]
        if name in inside:
            raise ValueError(
                _("set {name!r} contains itself by way of {listed}").format(name=name, listed=" -> ".join(inside))
            )
        found: dict[ZoneId, None] = {}
        zones = {z.id for z in self.zone}
        for member in self.sets[name]:
            if member in zones:
                found[ZoneId(member)] = None
            elif member in self.sets:
                found |= dict.fromkeys(self._expand(SetName(member), (*inside, name), known))
            else:
                raise ValueError(
                    _("set {name!r} names {member!r}, which is neither a zone nor a set of this form").format(
                        name=name, member=member
                    )
                )
        if not found:
            raise ValueError(_("set {name!r} is empty; name at least one zone or leave the set out").format(name=name))
        known[name] = tuple(found)
        return known[name]

    def zones_of(self, names: Iterable[str]) -> tuple[ZoneId, ...]:
        """Return the zones that zone ids and set names stand for, each once, in the order named.

        Raises:
            KeyError: a name is neither a zone nor a set of this form; its argument is the name.
        """
        zones = {z.id for z in self.zone}
        found: dict[ZoneId, None] = {}
        known: dict[SetName, tuple[ZoneId, ...]] = {}
        for name in names:
            if name in zones:
                found[ZoneId(name)] = None
            elif name in self.sets:
                found |= dict.fromkeys(self._expand(SetName(name), (), known))
            else:
                raise KeyError(name)
        return tuple(found)

    def zone_named(self, zone: ZoneId) -> Zone:
        """Return the zone with this id; KeyError when the form has none."""
        for candidate in self.zone:
            if candidate.id == zone:
                return candidate
        raise KeyError(zone)
