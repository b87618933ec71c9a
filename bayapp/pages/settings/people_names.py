"""The people of the shop, one more or one less."""

from bayapp.files.shop.settings import Settings


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
