"""The settings of a wall screen, in ``settings.toml`` in the store: screen, theme, sound, hours, people."""

from collections import Counter
from collections.abc import Mapping, MutableMapping
from datetime import tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import AfterValidator, Field, PlainSerializer, PlainValidator, StringConstraints, ValidationError

from bayapp.drawing.palette import DARK, PALETTES
from bayapp.files.atomic_write import write_whole
from bayapp.files.bounds import LARGEST_TOML
from bayapp.files.parsed_text import ParsedText
from bayapp.files.plain_file import decode, read_bytes
from bayapp.files.problems import BadFile
from bayapp.files.shop.hours import WorkingHours, in_order, parse_hours
from bayapp.files.shop.key_settings import KeyName, KeySettings
from bayapp.files.shop.sensor_settings import SensorSettings, ids_once
from bayapp.files.toml_file import read_toml
from bayapp.files.validation_messages import findings_of
from bayapp.job.model.ids import Person, StepKind
from bayapp.job.model.mark import REPAINT_DAYS, Days
from bayapp.job.model.thickness import THIN_UM, UNLIKE_UM
from bayapp.job.model.vehicle import FileModel
from bayapp.job.state.requests import SetUpBay
from bayapp.text.figures import DayClock, TemperatureUnit, Units, VolumeUnit, use_units
from bayapp.text.language import _, use_language

__all__ = ["Settings", "WorkingHours", "load_settings", "people_recorded", "save_settings", "use_shop_units"]


def _each_once(kinds: tuple[StepKind, ...]) -> tuple[StepKind, ...]:
    twice = [kind.value for kind, n in Counter(kinds).items() if n > 1]
    if twice:
        raise ValueError(_("{name!r} stands twice; leave one out").format(name=twice[0]))
    return kinds


def _no_name_twice(people: tuple[Person, ...]) -> tuple[Person, ...]:
    twice = [name for name, n in Counter(people).items() if n > 1]
    if twice:
        raise ValueError(_("{name!r} stands twice; tell the two apart").format(name=twice[0]))
    return people


USUAL_DISTANCE_M = 3.0

if TYPE_CHECKING:
    ThemeName = str
else:
    ThemeName = Literal[tuple(PALETTES)]  # pydantic reads it when the program starts, a type checker cannot

Hours = Annotated[WorkingHours, PlainValidator(parse_hours), PlainSerializer(str)]
Name = Annotated[Person, StringConstraints(min_length=1, max_length=40, strip_whitespace=True)]
Kinds = Annotated[tuple[StepKind, ...], AfterValidator(_each_once)]


class Settings(FileModel):
    """The settings of one wall screen; ``format`` is ``bayapp-settings/1``.

    Attributes:
        screen_diagonal_inch: the visible diagonal, if the screen reports a wrong size.
        theme: dark for a dim bay, light for a bright one.
        volume: share of the device's full level, 0 to 1.
        spoken: whether calls are also spoken, if the machine has a speech engine.
        hours: when work is done, local time, every day, in order; empty: at any time.
        people: who works in this shop, offered for the crew of a new car.
        names: how people are recorded: by name, by initials, or not at all.
        cannot: kinds of step that a person does not do.
        dew_margin_c: how far a surface must be above the dew point for a coat, °C; a product may ask for more.
        bay_m3, bay_air_changes: the volume of the bay, and its air changes per hour; without them solvent vapour is not
            estimated.
        language: tag of the language to speak, e.g. "de"; unset: the machine's.
        temperatures, volumes, day_clock: the units and times of day that people read; files always hold °C and ml.
        sensor: the sensors of air and surface, in order of priority.
        keys: what keys of a foot switch or presenter do, by the name that Qt gives the key, e.g. "PgDown"; other keys
            press the large button, and Escape goes back.
        key_long_seconds, key_twice_seconds: the least length of a long press; the longest pause before a second press.
        reading_distance_m: from how far away the wall is read; above 3 m everything grows as far as the screen allows.
        first_start: whether a new shop is still being asked its questions; a start in the midst of them asks again.
        letters: how many times as large everything is shown, as far as the screen allows.
        backups: the second place that backups go to, beside the folder "backups" in the store.
        backups_mark: by what that place is known again if it was chosen by touch (``files/shop/backup_places.py``).
        backups_kept: how many backups each place keeps.
        bay_mixing_k: the factor K of poor mixing; 1 is perfect, 3 a careful default.
        photos_from: a folder whose new photos are taken in for the zone whose photos are open.
        thin_um: paint of which any reading is below it is thin, µm.
        unlike_um: paint whose mean lies so far from its neighbours' is unlike them, µm.
        repaint_days: for how many days after its day a repaint takes no coat, where mark and recipe say nothing else.
        final_check: whether a car leaves only when all that was worked was seen by light, or with a reason.
    """

    format: Literal["bayapp-settings/1"] = "bayapp-settings/1"
    screen_diagonal_inch: Annotated[float, Field(ge=7, le=100, allow_inf_nan=False)] | None = None
    theme: ThemeName = DARK.name
    volume: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)] = 1.0
    spoken: bool = False
    hours: Annotated[tuple[Hours, ...], AfterValidator(in_order)] = ()
    people: Annotated[tuple[Name, ...], AfterValidator(_no_name_twice)] = ()
    names: Literal["full", "initials", "none"] = "full"
    cannot: dict[Name, Kinds] = Field(default_factory=dict)
    dew_margin_c: Annotated[float, Field(ge=0, le=20, allow_inf_nan=False)] = 3.0
    bay_m3: Annotated[float, Field(ge=5, le=100_000, allow_inf_nan=False)] | None = None
    bay_air_changes: Annotated[float, Field(ge=0, le=200, allow_inf_nan=False)] | None = None
    bay_mixing_k: Annotated[float, Field(ge=1, le=20, allow_inf_nan=False)] = 3.0
    thin_um: Annotated[float, Field(ge=20, le=500, allow_inf_nan=False)] = THIN_UM
    unlike_um: Annotated[float, Field(ge=10, le=500, allow_inf_nan=False)] = UNLIKE_UM
    repaint_days: Days = REPAINT_DAYS
    final_check: bool = True
    language: Annotated[str, StringConstraints(pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] | None = None
    temperatures: TemperatureUnit = TemperatureUnit.CELSIUS
    volumes: VolumeUnit = VolumeUnit.MILLILITRE
    day_clock: DayClock = DayClock.HOURS_24
    reading_distance_m: Annotated[float, Field(ge=1, le=10, allow_inf_nan=False)] = USUAL_DISTANCE_M
    first_start: Literal["asking", "done"] = "done"
    letters: Annotated[float, Field(ge=1, le=2, allow_inf_nan=False)] = 1.0
    backups: Annotated[str, StringConstraints(min_length=1, max_length=1000)] | None = None
    backups_mark: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{16}$")] | None = None
    photos_from: Annotated[str, StringConstraints(min_length=1, max_length=1000)] | None = None
    backups_kept: Annotated[int, Field(ge=1, le=10_000)] = 30
    key_long_seconds: Annotated[float, Field(ge=0.3, le=2.5, allow_inf_nan=False)] = 0.8
    key_twice_seconds: Annotated[float, Field(ge=0.1, le=1.0, allow_inf_nan=False)] = 0.4
    keys: dict[KeyName, KeySettings] = Field(default_factory=dict)
    sensor: Annotated[tuple[SensorSettings, ...], AfterValidator(ids_once)] = ()


def settings_file(store: Path) -> Path:
    """Return where the settings of a store are kept, whether there are any or not."""
    return store / "settings.toml"


def load_settings(store: Path) -> Settings:
    """Return the settings of a store; the defaults if it has no ``settings.toml``.

    Raises:
        BadFile: the file is wrong; says where and what would be right.
    """
    path = settings_file(store)
    return _settings_of(read_toml(path)) if path.exists() else Settings()


def are_settings(path: Path) -> bool:
    """Whether a file is a settings file, by its format line; if so, it has been checked.

    Raises:
        BadFile: it cannot be read, or its settings are wrong.
    """
    source = read_toml(path)
    if not str(source.data.get("format", "")).startswith("bayapp-settings/"):
        return False
    _settings_of(source)
    return True


def _settings_of(source: ParsedText) -> Settings:
    try:
        return Settings.model_validate(source.data)
    except ValidationError as error:
        raise BadFile(findings_of(error, Settings, source)) from error


def set_up_bay(settings: Settings, tz: tzinfo) -> SetUpBay:
    """Return the request that tells the bay what the shop has set of it, and the time zone that it is in."""
    return SetUpBay(
        dew_margin_k=settings.dew_margin_c,
        volume_m3=settings.bay_m3,
        air_changes=settings.bay_air_changes,
        mixing_k=settings.bay_mixing_k,
        thin_um=settings.thin_um,
        unlike_um=settings.unlike_um,
        repaint_days=settings.repaint_days,
        time_zone=zone_name(tz),
        final_check=settings.final_check,
    )


def zone_name(tz: tzinfo) -> str:
    """Return the name of a time zone in the journal; empty for UTC."""
    return "" if str(tz) == "UTC" else str(tz)


def people_recorded(settings: Settings) -> tuple[Person, ...]:
    """Return the people of a shop as they are recorded: by name, by distinct initials, or not at all."""
    if settings.names == "none":
        return ()
    if settings.names == "full":
        return settings.people
    found: list[Person] = []
    for name in settings.people:
        plain = "".join(part[0] for part in name.split()).upper()
        taken = sum(known.rstrip("0123456789") == plain for known in found)
        found.append(Person(plain if not taken else f"{plain}{taken + 1}"))
    return tuple(found)


def use_shop_units(settings: Settings) -> None:
    """Use the language and units of a shop from now on."""
    use_language(settings.language)
    use_units(Units(settings.temperatures, settings.volumes, settings.day_clock))


def save_settings(store: Path, settings: Settings) -> None:
    """Write the settings atomically; comments and the order of the keys in the file stay.

    Raises:
        BadFile: the file is not TOML; it is left as it is.
    """
    import tomlkit  # noqa: PLC0415 (only who saves pays for it, not every start)

    path = settings_file(store)
    document = tomlkit.document()
    before: dict[str, Any] = {}
    if path.exists():
        before = _values_of(read_toml(path).data)
        document = tomlkit.parse(decode(path, read_bytes(path, LARGEST_TOML)))
    values = settings.model_dump(mode="json")
    same = [key for key in document if key in before and before[key] == values[key]]
    _bring_up(document, {key: _without_unset(value) for key, value in values.items() if key not in same})
    write_whole(path, tomlkit.dumps(document).encode())


def _values_of(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return all values of settings, defaults included; nothing if they are wrong."""
    try:
        return Settings.model_validate(data).model_dump(mode="json")
    except ValidationError:
        return {}


def _without_unset(value: Any) -> Any:
    """Return a value without the unset values inside it, which TOML cannot express."""
    if isinstance(value, dict):
        return {key: _without_unset(inner) for key, inner in value.items() if inner is not None}
    return [_without_unset(inner) for inner in value] if isinstance(value, list) else value


def _bring_up(written: MutableMapping[str, Any], values: Mapping[str, Any]) -> None:
    """Give a table these values; equal ones are not touched, and unset ones are removed."""
    for key, value in values.items():
        before = written.get(key)
        if value is None or value in ([], {}):
            written.pop(key, None)
        elif isinstance(value, dict) and isinstance(before, MutableMapping):
            for gone in [name for name in before if name not in value]:
                del before[gone]
            _bring_up(before, value)
        elif before != value:
            written[key] = value
