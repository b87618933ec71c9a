"""The people of the shop: one more or one less, what each does not do, how they are recorded."""

from bayapp.files.shop.settings import Settings
from bayapp.job.model.ids import Person, StepKind
from bayapp.job.text.naming import kind_words
from bayapp.text.language import _

NAMES = ("full", "initials", "none")


def with_person(now: Settings, typed: str) -> Settings:
    """Return the settings with one more person; a name in capitals is written as names are."""
    name = typed.strip().title() if typed.isupper() else typed.strip()
    if not name or name in now.people:
        return now
    return now.model_copy(update={"people": (*now.people, name)})


def without_person(now: Settings, name: str) -> Settings:
    """Return the settings without a person, and without what that person does not do."""
    cannot = {who: what for who, what in now.cannot.items() if who != name}
    return now.model_copy(update={"people": tuple(p for p in now.people if p != name), "cannot": cannot})


def cannot_text(now: Settings, name: Person) -> str:
    """Return what a person does not do, in a few words."""
    kinds = now.cannot.get(name, ())
    return _("does not: {kinds}").format(kinds=", ".join(map(kind_words, kinds))) if kinds else _("does everything")


def with_other_ability(now: Settings, name: Person, kind: StepKind) -> Settings:
    """Return the settings in which a person does a kind of step who did not, or the other way round."""
    had = now.cannot.get(name, ())
    kinds = tuple(k for k in StepKind if (k in had) is not (k is kind))
    rest = {who: what for who, what in now.cannot.items() if who != name}
    return now.model_copy(update={"cannot": {**rest, name: kinds} if kinds else rest})


def names_text(now: Settings) -> str:
    """Return how people are recorded."""
    return {"full": _("by name"), "initials": _("by initials"), "none": _("not at all")}[now.names]


def with_next_names(now: Settings) -> Settings:
    """Return the settings with the next way in which people are recorded."""
    return now.model_copy(update={"names": NAMES[(NAMES.index(now.names) + 1) % len(NAMES)]})
