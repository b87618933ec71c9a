"""Edits a recipe by touch: rungs, minutes, waits, order. Joins its page, the keypad and the choice page."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject

from bayapp.job.model.ids import LapseTo, Motion, StepKind
from bayapp.job.model.wait_tables import By
from bayapp.job.text.naming import capital, motion_words
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.recipes.product_sheet import Row
from bayapp.pages.recipes.recipe_edit import RecipeDraft, kinds, lapse_words, surface_words
from bayapp.pages.recipes.recipe_view import edited_recipe
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.input.wait_rows_entry import RowsAsker
from bayapp.screen.recipes.recipe_view import RecipePage
from bayapp.screen.widgets.choice_page import Entry, Key, Show
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _

Done = Callable[[RecipeDraft | None], bool]
"""Takes what has become of a recipe, None if it stays as it was; returns False if it could not be saved."""


class RecipeEditController(QObject):
    """Edits one recipe at a time.

    Attributes:
        page: the ladder and the buttons that change it.
        products: returns the names of all products; called each time they are needed.
    """

    def __init__(
        self, pages: PageStack, show: Show, typing: TypedEntryController, products: Callable[[], list[str]]
    ) -> None:
        super().__init__(pages)
        self._pages, self._show, self._typing, self._products = pages, show, typing, products
        self._draft: RecipeDraft | None = None
        self._before: RecipeDraft | None = None
        self._place = 0
        self._done: Done = lambda draft: True
        self.rows = RowsAsker(show, typing)
        self.page = RecipePage(pages.look, pages.window)
        self.page.field_touched.connect(self._field)
        self.page.rung_touched.connect(self._choose)
        self.page.side_wanted.connect(lambda: self._choose((self._place + 1) % len(self._now.steps)))
        self.page.main_wanted.connect(self._save)
        self._pages.add(self.page)
        self.page.closed.connect(self._left)

    @property
    def _now(self) -> RecipeDraft:
        assert self._draft
        return self._draft

    def open(self, draft: RecipeDraft, done: Done, *, fresh: bool = False) -> None:
        """Edit a recipe; ``done`` receives the changed recipe, or None if it stays as it was.

        ``fresh``: the recipe is not saved anywhere yet, so leaving the page would lose it.
        """
        self._draft, self._before, self._done, self._place = draft, None if fresh else draft, done, 0
        self._turn_to(first=True)

    def resume(self) -> bool:
        """Show unsaved changes again; return False if there are none."""
        if self._draft is None or self._draft == self._before:
            return False
        self._turn_to()
        return True

    def _turn_to(self, draft: RecipeDraft | None = None, *, first: bool = False) -> None:
        """Show the page, with the recipe as changed so far."""
        self._draft = draft or self._draft
        self._place = min(self._place, len(self._now.steps) - 1)
        title = str(self._now.head.get("title") or self._now.head["name"])
        self.page.show_recipe(edited_recipe(self._now, self._place, title), first=first)
        self._pages.show(self.page)

    def _choose(self, place: int) -> None:
        self._place = place
        self._turn_to()

    def _save(self) -> None:
        if not self._now.trouble() and self._done(self._now):
            self._draft = None

    def _left(self) -> None:
        """Back was pressed: ask before any change is lost."""
        if self._draft is None:
            return
        if self._draft == self._before:
            self._draft = None
            self._done(None)
            return
        self._turn_to()
        entries = [
            Entry(False, _("Go on changing it")),
            Entry(True, _("leave it unsaved"), hold=True),
        ]
        self._show(_("It is not saved"), self._now.trouble(), entries, self._leaving, ())

    def _leaving(self, leave: bool) -> None:
        if leave:
            self._draft = None
            self._done(None)
        else:
            self._turn_to()

    # What each button does.

    def _field(self, key: str) -> None:
        draft, place = self._now, self._place
        if key in ("up", "down"):
            self._place = max(0, min(len(draft.steps) - 1, place + (1 if key == "down" else -1)))
            self._turn_to(draft.moved(place, 1 if key == "down" else -1))
        elif key == "remove":
            self._turn_to(draft.removed(place))
        elif key == "max_from":
            self._turn_to(draft.with_max_from(place, draft.wait_of(place).get("max_from") != "start"))
        elif key in ("minutes", "min", "max"):
            self._ask_minutes(key)
        elif key in ("keep_dry_hours", "no_drive_hours"):
            self._ask_hours(key)
        else:
            {
                "kind": self._ask_kind,
                "rows": self._ask_rows,
                "insert": self._ask_insert,
                "after": self._ask_after,
                "lapse": self._ask_lapse,
                "motion": self._ask_motion,
                "product": self._ask_product,
                "surfaces": self._ask_surfaces,
            }[key]()

    def _ask_minutes(self, key: str) -> None:
        draft, place = self._now, self._place

        def made(number: float | None) -> RecipeDraft:
            return draft.with_minutes(place, number) if key == "minutes" else draft.with_edge(place, key, number)

        titles = {
            "minutes": _("How long does it take?"),
            "min": _("When may it begin at the earliest?"),
            "max": _("When must it begin at the latest?"),
        }
        subtitle = draft.title_of(place)
        if key != "minutes" and draft.rows_of(place):
            subtitle = _("{step}: it takes the place of the rows of temperature or humidity.").format(step=subtitle)
        typing = Typing(
            Kind.NUMBER,
            titles[key],
            subtitle,
            unit=_("min"),
            check=lambda number: made(number).trouble_at(place),
            may_be_empty=key != "minutes",
        ).opened_with(draft.steps[place].get("minutes") if key == "minutes" else draft.edge(place, key))
        self._typing.ask(typing, lambda typed: self._turn_to(made(typed.number)), self._turn_to, self._turn_to)

    def _ask_hours(self, key: str) -> None:
        draft = self._now
        title = _("How long is it kept dry?") if key == "keep_dry_hours" else _("How long is it not driven?")
        typing = Typing(
            Kind.NUMBER,
            title,
            _("After the last step of the recipe."),
            unit=_("h"),
            check=lambda number: draft.with_finish(key, number).trouble(),
            may_be_empty=True,
        ).opened_with(draft.head.get("finish", {}).get(key))
        self._typing.ask(
            typing, lambda typed: self._turn_to(draft.with_finish(key, typed.number)), self._turn_to, self._turn_to
        )

    def _ask_rows(self) -> None:
        draft, place = self._now, self._place

        def done(rows: tuple[Row, ...]) -> None:
            by = rows[0].by if rows else By.TEMPERATURE
            self._turn_to(draft.with_table(place, [(row.at, row.least, row.most) for row in rows], by))

        table = draft.table(place)
        rows = [Row(*row, table.by) for row in table.rows] if table else []
        ends = draft.wait_of(place).get("max_from") != "start"
        self.rows.open(draft.title_of(place), rows, done, ends=ends)

    def _offer(self, title: str, entries: Sequence[Entry[Key]], made: Callable[[Key], RecipeDraft]) -> None:
        show_paged(title, "", entries, lambda key: self._turn_to(made(key)), self._show)

    def _ask_kind(self) -> None:
        draft, place = self._now, self._place
        entries = [Entry(kind, words, chosen=draft.steps[place]["kind"] == kind) for kind, words in kinds()]
        self._offer(_("What kind of step is it?"), entries, lambda key: draft.with_kind(place, key))

    def _ask_insert(self) -> None:
        draft = self._now

        def made(kind: StepKind) -> RecipeDraft:
            self._place += 1
            return draft.inserted(self._place, kind)

        self._offer(_("Which step comes next?"), [Entry(kind, words) for kind, words in kinds()], made)

    def _ask_after(self) -> None:
        draft, place = self._now, self._place
        entries: list[Entry[int | None]] = [
            Entry(None, _("The step before"), draft.title_of(place - 1) if place else "")
        ]
        entries += [Entry(n, draft.title_of(n)) for n in draft.anchors(place)]

        def made(anchor: int | None) -> RecipeDraft:
            return draft.counted_from(place, anchor)

        self._offer(_("From the end of which step is it counted?"), entries, made)

    def _ask_lapse(self) -> None:
        draft, place = self._now, self._place
        entries = [Entry(lapse, capital(lapse_words(lapse))) for lapse in (None, *LapseTo)]

        def made(lapse: LapseTo | None) -> RecipeDraft:
            return draft.with_lapse(place, lapse)

        self._offer(_("What if its latest moment is missed?"), entries, made)

    def _ask_motion(self) -> None:
        draft, place = self._now, self._place
        entries: list[Entry[Motion | None]] = [Entry(motion, capital(motion_words(motion))) for motion in Motion]
        entries.append(Entry(None, _("As one likes")))

        def made(motion: Motion | None) -> RecipeDraft:
            return draft.with_motion(place, motion)

        self._offer(_("By which strokes is it laid?"), entries, made)

    def _ask_product(self) -> None:
        draft, place = self._now, self._place
        now = draft.steps[place].get("product")
        entries: list[Entry[str | None]] = [
            Entry(name, capital(name.replace("-", " ")), chosen=name == now) for name in self._products()
        ]
        entries.append(Entry(None, _("None")))
        self._offer(_("From which product?"), entries, lambda name: draft.with_product(place, name))

    def _ask_surfaces(self) -> None:
        draft = self._now
        made_for = draft.head.get("surfaces", ())
        entries = [Entry(name, capital(words), chosen=name in made_for) for name, words in surface_words().items()]
        self._offer(_("What is it made for?"), entries, draft.with_surface)
