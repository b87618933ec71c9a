"""Jobs small enough to visit every state of: panes, a rim, panels, by shipped recipes and by awkward ones."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from itertools import combinations_with_replacement, permutations

from bayapp.files.library import Library
from bayapp.job import Job, JobFile, Recipe, resolve
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.vehicle import VehicleForm
from tests.job.builders import recipe, step

START = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)

SHORT_PANE = recipe(
    step("wash", "decontaminate"),
    step("polish"),
    step("wipe"),
    step("coat", wait={"max": 30, "lapse": "wipe"}),
    step("buff", wait={"of": "all-glass", "min": 15, "max": 60, "lapse": "polish"}),
    name="short-pane",
    finish={"keep_dry_hours": 1},
)
"""Glass in one layer as it is shipped, but for the last cleaning; its waits are whole quarters of an hour."""
COAT_BEFORE_POLISH = recipe(
    step("sealer", "coat"),
    step("polish", wait={"min": 10}),
    step("wipe"),
    step("coat", wait={"max": 30, "lapse": "wipe"}),
    name="coat-before-polish",
)
TWO_IN_ANY_ORDER = recipe(
    step("polish"),
    step("wipe"),
    step("coat-1", any_order="layers"),
    step("coat-2", any_order="layers", wait={"of": "block", "min": 5}),
    step("buff", wait={"of": "block", "min": 5, "max": 60, "lapse": "polish"}),
    name="two-in-any-order",
)
"""The second layer waits until every zone of the block has the first, whichever each took first."""
BUFF_WITHOUT_WAY_BACK = recipe(
    step("polish"),
    step("wipe"),
    step("coat", wait={"max": 30, "lapse": "wipe"}),
    step("buff", wait={"min": 15, "max": 60, "lapse": "inspect"}),
    name="buff-without-way-back",
    finish={"keep_dry_hours": 1},
)
"""As paint in one layer is shipped: a buff that comes too late has no rung to fall back to."""
SHORT_RIM = recipe(
    step("wash", "decontaminate"),
    step("coat"),
    step("level", wait={"max": 15, "max_from": "start", "lapse": "repeat"}),
    name="short-rim",
    finish={"keep_dry_hours": 1},
)
"""A rim as it is shipped, but for its wipe and its second towel; its waits are whole quarters too."""
QUICK_PANE = recipe(
    step("polish"),
    step("coat"),
    step("buff", wait={"of": "all-glass", "min": 1, "max": 2, "lapse": "polish"}),
    name="quick-pane",
)
"""Waits of a minute or two, so that every age can be gone through in ticks."""
QUICK_LAYERS = recipe(
    step("polish"),
    step("coat-1", any_order="layers"),
    step("coat-2", any_order="layers"),
    step("buff", wait={"of": "all-glass", "min": 1, "max": 2, "lapse": "polish"}),
    name="quick-layers",
)
"""Of two layers in either order the later one is what the set waits for."""
APART = COAT_BEFORE_POLISH.model_copy(update={"name": "coat-before-polish-too"})
"""The same ladder in a work block of its own, so that no touch joins the two."""
OWN = {
    r.name: r
    for r in (
        SHORT_PANE,
        SHORT_RIM,
        COAT_BEFORE_POLISH,
        APART,
        TWO_IN_ANY_ORDER,
        BUFF_WITHOUT_WAY_BACK,
        QUICK_PANE,
        QUICK_LAYERS,
    )
}

JOBS: Mapping[str, Mapping[str, Sequence[str]]] = {
    "pane": {"glass-one-layer": ["windscreen"]},
    "pane in three layers": {"glass-three-layers": ["windscreen"]},
    "rim": {"rim": ["rim-front-left"]},
    "panel": {"paint-two-layers": ["bonnet"]},
    "panel in one layer": {"paint-one-layer": ["bonnet"]},
    "panel whose buff has no way back": {"buff-without-way-back": ["bonnet"]},
    "two panels, a coat before the polish": {"coat-before-polish": ["bonnet", "roof"]},
    "two panels apart, a coat before the polish": {
        "coat-before-polish": ["bonnet"],
        "coat-before-polish-too": ["roof"],
    },
    "two panels whose buff has no way back": {"buff-without-way-back": ["bonnet", "roof"]},
    "pane and rim, short": {"short-pane": ["windscreen"], "short-rim": ["rim-front-left"]},
    "two panes, short": {"short-pane": ["windscreen", "rear-screen"]},
    "two panes": {"glass-one-layer": ["windscreen", "rear-screen"]},
    "two panes in any order": {"two-in-any-order": ["windscreen", "rear-screen"]},
    "two panes, three layers and one": {"glass-three-layers": ["windscreen"], "glass-one-layer": ["rear-screen"]},
    "two panes, quick, one in two layers": {"quick-pane": ["windscreen"], "quick-layers": ["rear-screen"]},
    "two panes and a rim, short": {"short-pane": ["windscreen", "rear-screen"], "short-rim": ["rim-front-left"]},
    "pane and rim": {"glass-one-layer": ["windscreen"], "rim": ["rim-front-left"]},
    "two panes and a rim": {"glass-one-layer": ["windscreen", "rear-screen"], "rim": ["rim-front-left"]},
    "panel and pane": {"paint-two-layers": ["bonnet"], "glass-one-layer": ["windscreen"]},
    "panel, pane and rim": {
        "paint-two-layers": ["bonnet"],
        "glass-one-layer": ["windscreen"],
        "rim": ["rim-front-left"],
    },
    "panel, pane and trim": {
        "paint-two-layers": ["bonnet"],
        "glass-one-layer": ["windscreen"],
        "trim": ["trim-left"],
    },
    "the car itself and a panel": {"whole-car": ["car"], "paint-two-layers": ["bonnet"]},
    "the car itself, pane and rim": {
        "whole-car": ["car"],
        "glass-one-layer": ["windscreen"],
        "rim": ["rim-front-left"],
    },
}
"""Zones by recipe."""


def small_job(name: str, people: int) -> Job:
    """Return one of ``JOBS`` with so many people."""
    return car(JOBS[name], people)


def pairs() -> Mapping[str, Job]:
    """Return a job for one person of every two shipped recipes, and of each with itself, on zones of one form."""
    library = Library()
    recipes = [library.load_recipe(name) for name in library.names("recipe")]
    forms = [library.load_vehicle(name) for name in ("estate", "motorcycle")]
    found: dict[str, Job] = {}
    for one, other in combinations_with_replacement(recipes, 2):
        for form in forms:
            zones = _zones(form, one, other)
            if zones and one.name == other.name:
                found[f"{one.name} twice"] = car({one.name: zones}, 1, form.name)
            elif zones:
                found[f"{one.name} and {other.name}"] = car({one.name: zones[:1], other.name: zones[1:]}, 1, form.name)
            if zones:
                break
    return found


def _zones(form: VehicleForm, one: Recipe, other: Recipe) -> list[ZoneId]:
    """Return a zone for each recipe, another for the other; none where the form has none such."""
    for first, second in permutations((ZoneId(z.id) for z in form.zone), 2):
        if one.is_for(form, first) and other.is_for(form, second):
            return [first, second]
    return []


def car(work: Mapping[str, Sequence[str]], people: int, vehicle: str = "estate") -> Job:
    """Return a job: zones and sets by the recipe that they are worked by."""
    library = Library()

    def known(name: str) -> Recipe:
        return OWN[name] if name in OWN else library.load_recipe(name)

    blocks = [{"zones": zones, "recipe": name} for name, zones in work.items()]
    written = {"format": "bayapp-job/1", "title": "Small", "vehicle": vehicle, "crew": ["Ash", "Bo"][:people]}
    file = JobFile.model_validate({**written, "start": START, "work": blocks})
    sheets = {name: library.load_product(name) for name in library.names("product")}
    return resolve(file, JobId("car"), library.load_vehicle(vehicle), known, sheets.get)
