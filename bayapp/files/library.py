"""Finds and loads vehicle forms, recipes, products and jobs by name or path."""

from collections.abc import Callable, Iterator
from datetime import UTC
from pathlib import Path
from typing import Literal, TypeVar

from pydantic import ValidationError

from bayapp.files.documents import FORMATS, kind_of, parse, read_document
from bayapp.files.drawings.drawing_file import read_drawing
from bayapp.files.parsed_text import ParsedText
from bayapp.files.plain_file import is_plain, plain_files
from bayapp.files.problems import BadFile, Finding
from bayapp.files.toml_file import read_toml
from bayapp.files.validation_messages import did_you_mean, findings_of, slug
from bayapp.job import Job, JobFile, Product, Recipe, VehicleForm, resolve
from bayapp.job.model.healing import unhealed
from bayapp.job.model.ids import JobId, ZoneId
from bayapp.job.model.mark import Mark
from bayapp.job.model.misfit import MisfitError
from bayapp.paths import resource
from bayapp.text.language import _

Kind = Literal["vehicle", "recipe", "product"]
T = TypeVar("T")

_MODELS = {"vehicle": VehicleForm, "recipe": Recipe, "product": Product}


class Library:
    """Folders that hold ``vehicles/``, ``recipes/`` and ``products/``; the first that has a name wins.

    A reference that ends in ``.toml`` is a path, relative to the file that names it; anything else is a name.
    Folders beside the naming file come first, the shipped ones by default last.
    """

    def __init__(self, *folders: Path) -> None:
        self._folders = folders or (resource(),)

    def load_vehicle(self, ref: str | Path, beside: Path | None = None) -> VehicleForm:
        """Return a vehicle form whose drawing has a path for each of its zones; BadFile otherwise."""
        return self.load_drawn_vehicle(ref, beside)[0]

    def load_drawn_vehicle(self, ref: str | Path, beside: Path | None = None) -> tuple[VehicleForm, str]:
        """Return a vehicle form and the text of its drawing; BadFile when the drawing lacks a zone."""
        path = self.find("vehicle", ref, beside)
        form, source = read_document(path, VehicleForm)
        self._agree(ref, form.name, source)
        return form, read_drawing(form, source, path.parent)

    def load_recipe(self, ref: str | Path, beside: Path | None = None) -> Recipe:
        """Return a recipe; BadFile with everything that is wrong in it."""
        recipe, source = read_document(self.find("recipe", ref, beside), Recipe)
        self._agree(ref, recipe.name, source)
        _expect_healing(recipe, source)
        return recipe

    def load_product(self, ref: str | Path, beside: Path | None = None) -> Product:
        """Return a product; BadFile with everything that is wrong in it."""
        product, source = read_document(self.find("product", ref, beside), Product)
        self._agree(ref, product.name, source)
        return product

    def load_job(self, path: Path, job_id: str | None = None) -> Job:
        """Return a job that contains everything it refers to.

        Args:
            job_id: by default the title and the day of the start, e.g. ``green-estate-2026-11-25``.

        Raises:
            BadFile: with everything that is wrong in the job and in the files it names; nothing is half-loaded.
        """
        written, source = read_document(path, JobFile)
        return _JobLoader(self, written, source, path).job(JobId(job_id or default_id(written)))

    def check(self, path: Path) -> str:
        """Return the kind of a file if it and everything it refers to is right; BadFile otherwise."""
        source = read_toml(path)
        kind = kind_of(source)
        if kind == "job":
            self.load_job(path)
        elif kind == "vehicle":
            read_drawing(parse(source, VehicleForm), source, path.parent)
        elif kind == "recipe":
            _expect_healing(parse(source, Recipe), source)
        else:
            parse(source, Product)
        return kind

    def names(self, kind: Kind, beside: Path | None = None) -> list[str]:
        """Return the names of all files of one kind in the folders."""
        return sorted({f.stem for folder in self._places(kind, beside) for f in plain_files(folder, ".toml")})

    def find(self, kind: Kind, ref: str | Path, beside: Path | None = None) -> Path:
        """Return the file that a name or path stands for; ``beside`` is the folder of the file that names it.

        Raises:
            BadFile: there is none.
        """
        if isinstance(ref, Path) or ref.endswith(".toml"):
            return (beside or Path()) / ref
        for folder in self._places(kind, beside):
            if is_plain(folder / f"{ref}.toml"):
                return folder / f"{ref}.toml"
        hint = did_you_mean(ref, self.names(kind, beside))
        raise BadFile([Finding(str(ref), None, "", _none_called(kind).format(hint=hint))], unreadable=True)

    def _places(self, kind: Kind, beside: Path | None) -> Iterator[Path]:
        for folder in (*((beside,) if beside else ()), *self._folders):
            yield folder / f"{kind}s"

    def _agree(self, ref: str | Path, name: str, source: ParsedText) -> None:
        """Report a file found by name whose content gives another name: papers and files would disagree."""
        if isinstance(ref, str) and not ref.endswith(".toml") and name != ref:
            reason = _("name is {name!r}, but the file is called {ref}.toml; make the two agree").format(
                name=name, ref=ref
            )
            raise BadFile([source.finding(("name",), reason)])


def _none_called(kind: Kind) -> str:
    if kind == "vehicle":
        return _("there is no vehicle form of this name{hint}")
    return (
        _("there is no recipe of this name{hint}") if kind == "recipe" else _("there is no product of this name{hint}")
    )


def default_id(written: JobFile) -> str:
    """Return the default id of a job: its title and the day of its start."""
    return f"{slug(written.title) or 'job'}-{written.start.astimezone(UTC):%Y-%m-%d}"


def _expect_healing(recipe: Recipe, source: ParsedText) -> None:
    wrong = unhealed(recipe)
    if wrong:
        place, why = wrong
        raise BadFile([source.finding(("step", place, "wait"), why)])


class _JobLoader:
    """Makes a job of a job file and what it refers to; collects all findings instead of stopping at the first."""

    def __init__(self, library: Library, written: JobFile, source: ParsedText, path: Path) -> None:
        self._library = library
        self._written = written
        self._source = source
        self._beside = path.parent
        self._findings: list[Finding] = []

    def job(self, job_id: JobId) -> Job:
        form, drawing = self._load(self._library.load_drawn_vehicle, self._written.vehicle, ("vehicle",)) or (None, "")
        recipes = self._recipes()
        products = self._products(recipes)
        if form:
            self._one_ladder_each(form)
            self._marks_fit(form)
        if self._findings or form is None:
            raise BadFile(self._findings)
        try:
            return resolve(self._written, job_id, form, recipes.__getitem__, products.get, drawing)
        except ValidationError as error:
            raise BadFile(findings_of(error, Job, self._source)) from error
        except MisfitError as error:
            raise BadFile([self._resolving(error, form)]) from error

    def _recipes(self) -> dict[str, Recipe]:
        loaded: dict[str, Recipe] = {}
        for place, entry in enumerate(self._written.work):
            if entry.recipe in self._written.recipe or entry.recipe in loaded:
                continue
            recipe = self._load(self._library.load_recipe, entry.recipe, ("work", place, "recipe"))
            if recipe:
                loaded[entry.recipe] = recipe
        return loaded

    def _products(self, recipes: dict[str, Recipe]) -> dict[str, Product]:
        """Load the sheets of the products named; a product without one follows the general rules about the air."""
        used = [self._written.recipe.get(e.recipe) or recipes.get(e.recipe) for e in self._written.work]
        names = {step.product for recipe in used if recipe for step in recipe.step if step.product}
        known = names & set(self._library.names("product", self._beside)) - self._written.product.keys()
        loaded = {name: self._load(self._library.load_product, name, ("work",)) for name in sorted(known)}
        return {name: product for name, product in loaded.items() if product}

    def _load(self, load: Callable[[str, Path], T], ref: str, key: tuple[str | int, ...]) -> T | None:
        """Load what a key names; a missing file is reported at the key, a bad one in the file itself."""
        try:
            return load(ref, self._beside)
        except BadFile as bad:
            if bad.unreadable:
                self._findings += [self._source.finding(key, f"{f.file}: {f.reason}") for f in bad.findings]
            else:
                self._findings += bad.findings
        return None

    def _one_ladder_each(self, form: VehicleForm) -> None:
        seen: dict[str, int] = {}
        for place, entry in enumerate(self._written.work):
            try:
                zones = form.zones_of(entry.zones)
            except KeyError as missing:
                self._findings.append(self._no_such_zone(missing.args[0], form, ("work", place, "zones")))
                continue
            for zone in (z for z in zones if z in seen):
                reason = _("zone {zone!r} stands in work {number} already; a zone climbs one ladder at a time").format(
                    zone=zone, number=seen[zone] + 1
                )
                self._findings.append(self._source.finding(("work", place, "zones"), reason))
            seen |= dict.fromkeys(zones, place)

    def _marks_fit(self, form: VehicleForm) -> None:
        """Report marks on what the form lacks, of a day to come, and those said twice of a zone."""
        said: list[tuple[int, ZoneId, Mark]] = []
        for place, entry in enumerate(self._written.mark):
            if entry.lies_ahead(self._written.start):
                reason = _("{day} comes after the start of this job; give the day on which it was").format(
                    day=entry.date
                )
                self._findings.append(self._source.finding(("mark", place, "date"), reason))
            try:
                zones = form.zones_of(entry.zones)
            except KeyError as missing:
                self._findings.append(self._no_such_zone(missing.args[0], form, ("mark", place, "zones")))
                continue
            mark = entry.mark
            for zone in zones:
                before = next((n for n, other, it in said if other == zone and mark.replaces(it)), None)
                if before is not None:
                    reason = _("zone {zone!r} is marked {kind} in mark {number} already; leave one of them out").format(
                        zone=zone, kind=mark.kind, number=before + 1
                    )
                    self._findings.append(self._source.finding(("mark", place, "zones"), reason))
            said += [(place, zone, mark) for zone in zones]

    def _no_such_zone(self, name: str, form: VehicleForm, key: tuple[str | int, ...]) -> Finding:
        hint = did_you_mean(name, [*form.sets, *(z.id for z in form.zone)])
        reason = _("{name!r} is neither a zone nor a set of {title!r}{hint}").format(
            name=name, title=form.title, hint=hint
        )
        return self._source.finding(key, reason)

    def _resolving(self, misfit: MisfitError, form: VehicleForm) -> Finding:
        """Return a misfit of the job's own rules as a finding at its work block, or at the block of its zone."""
        place = misfit.block
        if place is None and misfit.zone:
            place = next((n for n, e in enumerate(self._written.work) if misfit.zone in form.zones_of(e.zones)), None)
        return self._source.finding(() if place is None else ("work", place), misfit.reason)


__all__ = ["FORMATS", "Library", "default_id"]
