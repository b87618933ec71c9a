"""Where each page stands below the board: Back goes one level up, always to the same place."""

from bayapp.pages.wanted import (
    EditRecipe,
    Page,
    ShowBottle,
    ShowPastCar,
    ShowRecipe,
    ShowRecord,
    ShowTopic,
    TakeIn,
    Wanted,
)

Place = Page | TakeIn | ShowBottle | ShowPastCar | ShowRecord | ShowRecipe | EditRecipe | ShowTopic
"""Pages with a place of their own; all others are questions and notices, which lie over whatever asks them."""

_ABOVE = {
    **dict.fromkeys((Page.CREW, Page.ARRIVAL, Page.CHANGE, Page.REPORT, Page.CLOSE), Page.MORE),
    **dict.fromkeys((Page.SHELF, Page.RECIPES, Page.SETTINGS, Page.HELP, Page.CAUTIONS), Page.MORE),
    **dict.fromkeys((Page.HOURS, Page.NAMES, Page.BACKUP, Page.KEYS, Page.SENSORS), Page.SETTINGS),
    **dict.fromkeys((Page.WORDS, Page.BAY, Page.NAMED_BAYS), Page.SETTINGS),
    **dict.fromkeys((Page.NEW_CAR, Page.HALF_FILLED, Page.PAST_CARS), Page.CARS),
    Page.NEW_BOTTLE: Page.SHELF,
    Page.SHEET: Page.RECIPES,
    Page.AIR_READINGS: Page.AIR_DAY,
}


def above(place: Place) -> Place | None:
    """Return the page one level up; None where that is the board."""
    if isinstance(place, Page):
        return _ABOVE.get(place)
    if isinstance(place, ShowRecord):
        return ShowPastCar(place.job)
    if isinstance(place, EditRecipe):
        return ShowRecipe(place.name)
    return {
        TakeIn: Page.CARS,
        ShowBottle: Page.SHELF,
        ShowPastCar: Page.PAST_CARS,
        ShowRecipe: Page.RECIPES,
        ShowTopic: Page.HELP,
    }[type(place)]


def place_of(wanted: Wanted) -> Place | None:
    """Return what is wanted if it has a place of its own."""
    return wanted if isinstance(wanted, Place) else None


def all_above(place: Place) -> tuple[Place, ...]:
    """Return the levels between the board and a page, the highest first."""
    found: list[Place] = []
    up = above(place)
    while up is not None:
        found.insert(0, up)
        up = above(up)
    return tuple(found)
