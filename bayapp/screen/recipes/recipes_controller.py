"""The recipes of the shop: view, make, edit, import and export them. Joins pages and files."""

from collections.abc import Callable
from contextlib import suppress
from datetime import date
from enum import Enum
from pathlib import Path

from PySide6.QtCore import QObject

from bayapp.files.exchange import Offered, export_recipes, import_document, offered
from bayapp.files.keep_format import save_over
from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.files.save_document import save_document
from bayapp.job import Product, Recipe
from bayapp.job.model.ids import StepKind
from bayapp.job.text.naming import capital
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.recipes.product_sheet import Sheet
from bayapp.pages.recipes.recipe_edit import RecipeDraft, built_title, free_name, free_title, surface_words
from bayapp.pages.recipes.recipe_view import shown_recipe
from bayapp.pages.selection import Selection
from bayapp.paths import resource
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.processes.drives import SHARED, sticks
from bayapp.screen.recipes.product_sheet_controller import ProductSheetController
from bayapp.screen.recipes.recipe_edit_controller import RecipeEditController
from bayapp.screen.recipes.recipe_view import RecipePage
from bayapp.screen.widgets.choice_page import Entry, Show, tell
from bayapp.screen.widgets.paged_choices import show_paged
from bayapp.text.language import _, ngettext
from bayapp.text.readable import visible

ANY = "any"


class Other(Enum):
    """What the first page of recipes offers besides the surfaces."""

    SHEET = "sheet"
    IMPORT = "import"
    BAD = "bad"


class RecipesController(QObject):
    """Shows the recipes; ``shop`` is the folder whose ``recipes`` and ``products`` are the shop's own.

    Attributes:
        page: one recipe, for viewing.
        folders: returns where files can be imported from and exported to; called each time they are needed.
    """

    def __init__(
        self, selection: Selection, pages: PageStack, shop: Path, show: Show, typing: TypedEntryController
    ) -> None:
        super().__init__(pages)
        self._selection, self._pages, self._shop, self._show = selection, pages, shop, show
        self._library = Library(shop, resource())
        self._typing = typing
        self._name = ""
        self.folders: Callable[[], list[Path]] = lambda: [self._shop / SHARED, *sticks()]
        self.editing = RecipeEditController(pages, show, typing, lambda: self._library.names("product"))
        self.sheets = ProductSheetController(pages, show, typing, self._titles)
        self.page = RecipePage(pages.look, pages.window)
        self.page.field_touched.connect(self._field)
        self.page.main_wanted.connect(self._change)
        self._pages.add(self.page)

    # The list.

    def open(self) -> None:
        """Ask for a surface, or something else; unsaved changes come first."""
        if self.editing.resume():
            return
        recipes, bad = self._all()
        counted: dict[str, int] = {}
        for recipe in recipes:
            for surface in recipe.surfaces or (ANY,):
                counted[surface] = counted.get(surface, 0) + 1
        words = {**surface_words(), ANY: _("any surface")}
        entries: list[Entry[Other | str]] = [
            Entry(Other.SHEET, _("New from a sheet"), _("type what a product's sheet says"), glyph="paper"),
            Entry(Other.IMPORT, _("Import"), _("from a stick or a folder"), glyph="more"),
        ]
        entries += [
            Entry(name, capital(words[name]), ngettext("{n} recipe", "{n} recipes", n).format(n=n))
            for name, n in ((name, counted[name]) for name in words if name in counted)
        ]
        if bad:
            unusable = ngettext("{n} file cannot be used", "{n} files cannot be used", len(bad)).format(n=len(bad))
            entries.insert(2, Entry(Other.BAD, unusable, _("what is wrong"), glyph="warning"))
        show_paged(_("Recipes"), _("What each surface goes through, and its waits."), entries, self._opened, self._show)

    def _all(self) -> tuple[list[Recipe], list[str]]:
        """Return every usable recipe, the shop's own first, and what is wrong with the others."""
        found, bad = [], []
        for name in self._library.names("recipe"):
            try:
                found.append(self._library.load_recipe(name))
            except BadFile as wrong:
                bad.append(str(wrong))
        return sorted(found, key=lambda r: (not self._ours(r.name), r.title or r.name)), bad

    def _ours(self, name: str) -> bool:
        return (self._shop / "recipes" / f"{name}.toml").is_file()

    def _titles(self) -> list[str]:
        return [recipe.title for recipe in self._all()[0]]

    def _opened(self, key: Other | str) -> None:
        if key is Other.SHEET:
            self.open_sheet()
        elif key is Other.IMPORT:
            self._choose_folder(_("Import: from where?"), self._offer_files)
        elif key is Other.BAD:
            tell(self._show, _("These cannot be used"), "", *self._all()[1][:6])
        elif not isinstance(key, Other):
            self._list(key)

    def _list(self, surface: str) -> None:
        """List the recipes for a surface, the shop's own first."""
        recipes = [r for r in self._all()[0] if (surface in r.surfaces if surface != ANY else not r.surfaces)]
        entries = [
            Entry(r.name, r.title or r.name, _("our own") if self._ours(r.name) else _("comes with the program"))
            for r in recipes
        ]
        title = capital({**surface_words(), ANY: _("any surface")}[surface])
        show_paged(title, _("Touch one to see its ladder."), entries, self.open_recipe, self._show)

    # One recipe.

    def open_recipe(self, name: str) -> None:
        """Show one recipe."""
        self._name = name
        try:
            recipe = self._library.load_recipe(self._name)
        except BadFile as bad:
            tell(self._show, _("It cannot be used"), "", str(bad))
            return
        shown = shown_recipe(RecipeDraft.of(recipe), self._ours(self._name), self._laid(recipe))
        self.page.show_recipe(shown, first=True)
        self._pages.show(self.page)

    def _laid(self, recipe: Recipe) -> list[Product]:
        """Return the products of a recipe's coats, without those whose files are broken."""
        found = []
        for name in dict.fromkeys(s.product for s in recipe.step if s.kind is StepKind.COAT and s.product):
            with suppress(BadFile):  # said where recipes are listed or used
                found.append(self._library.load_product(name))
        return found

    def open_editing(self, name: str) -> None:
        """Edit one recipe."""
        self.open_recipe(name)
        self._change()

    def _field(self, key: str) -> None:
        if key == "copy":
            self._copy()
        elif key == "rename":
            self._choose_words()
        else:
            self._choose_folder(_("Export: where to?"), self._export)

    def _draft(self) -> RecipeDraft:
        return RecipeDraft.of(self._library.load_recipe(self._name))

    def _change(self) -> None:
        if self._ours(self._name):
            self.editing.open(self._draft(), self._save)
        else:
            self._copy()

    def _copy(self) -> None:
        """Edit a copy, so that the recipe it was copied from, shipped or not, stays as it is."""
        draft = self._draft()
        title = free_title(str(draft.head.get("title") or self._name), self._titles())
        name = free_name(f"our-{self._name.removeprefix('our-')}"[:60].strip("-"), self._library.names("recipe"))
        self.editing.open(draft.named(name, title), self._save, fresh=True)

    def _choose_words(self) -> None:
        """Choose another title, made of the kind of recipe and a word that tells it from others."""
        recipe = self._library.load_recipe(self._name)
        built = built_title(recipe.surfaces, recipe.layers)
        words = (_("summer"), _("winter"), _("quick"), _("thorough"), _("by the sheet"), _("on trial"))
        offered_titles = [free_title(t, self._titles()) for t in (built, *(f"{built}, {word}" for word in words))]
        entries: list[Entry[str | None]] = [Entry(title, title) for title in offered_titles]
        entries.append(Entry(None, _("Another word"), _("typed letter by letter")))

        def named(title: str) -> None:
            self._save(self._draft().named(self._name, free_title(title, self._titles())))

        def worded(typed: Typing) -> None:
            named(f"{built}, {capital(typed.text.strip().lower())}")

        def chosen(title: str | None) -> None:
            if title is None:
                typing = Typing(Kind.NAME, _("Which word?"), _("It stands after “{title}”.").format(title=built))
                self._typing.ask(typing, worded, lambda: self.open_recipe(self._name))
            else:
                named(title)

        self._show(_("Which name?"), _("The file keeps its name."), entries, chosen, ())

    def _save(self, draft: RecipeDraft | None) -> bool:
        if draft is None:
            self.open_recipe(self._name)
            return True
        like, name = self._library.find("recipe", self._name), str(draft.head["name"])
        return self._write(name, lambda: save_over(self._shop / "recipes" / f"{name}.toml", draft.recipe(), like))

    def _write(self, name: str, write: Callable[[], object]) -> bool:
        """Save, then offer to show the recipe of this name; if saving fails, say why and return False."""
        try:
            write()
        except OSError as trouble:
            sentence = _("It could not be saved: {why}").format(why=trouble)
            tell(self._show, _("Not saved"), "", sentence)
            return False
        self._name = name
        where = self._shop / "recipes" / f"{self._name}.toml"
        self._show(
            _("Saved"),
            "",
            [Entry(True, _("See its ladder"), glyph="paper"), Entry(False, _("All recipes"), glyph="more")],
            lambda see: self.open_recipe(self._name) if see else self.open(),
            (
                _("It lies in {file}.").format(file=where),
                _("Cars in the bay keep the recipe that they have; “Change this job” gives them another."),
            ),
        )
        return True

    # From a sheet.

    def open_sheet(self) -> None:
        """Enter a product data sheet."""
        self.sheets.open(self._built)

    def _built(self, sheet: Sheet) -> None:
        """Save the product and the recipe of a sheet; the product first, because the recipe names it."""
        name = sheet.free_name([*self._library.names("recipe"), *self._library.names("product")])
        recipe, product = sheet.recipe(name, self._titles()), sheet.product(name, self._today())

        def write() -> None:
            save_document(self._shop / "products" / f"{name}.toml", product)
            save_document(self._shop / "recipes" / f"{name}.toml", recipe)

        self._write(name, write)

    def _today(self) -> date:
        return self._selection.bay.now().astimezone(self._selection.tz).date()

    # Import and export.

    def _choose_folder(self, title: str, then: Callable[[Path], None]) -> None:
        (self._shop / SHARED).mkdir(parents=True, exist_ok=True)
        entries = [Entry(folder, folder.name or str(folder), str(folder)) for folder in self.folders()]
        subtitle = _("A stick shows here once the machine has it open.")
        show_paged(title, subtitle, entries, then, self._show)

    def _offer_files(self, folder: Path) -> None:
        try:
            files = offered(folder)
        except OSError as trouble:
            tell(self._show, _("The folder cannot be read"), "", str(trouble))
            return
        if not files:
            sentence = _("There is no recipe and no product in {folder}: their names end in .toml.").format(
                folder=folder
            )
            tell(self._show, _("Nothing to import"), "", sentence)
            return
        kinds = {"recipe": _("recipe"), "product": _("product")}
        entries = [
            Entry(
                one,
                one.title or visible(one.path.name),
                kinds.get(one.kind) or _("cannot be used"),
                glyph="warning" if one.trouble else "paper",
            )
            for one in files
        ]
        show_paged(_("Import which?"), str(folder), entries, self._take_in, self._show)

    def _take_in(self, one: Offered) -> None:
        try:
            if one.trouble:
                sentences = (one.trouble,)
            else:
                sentences = (
                    _("It lies in {file} now, just as it was.").format(file=import_document(one.path, self._shop)),
                )
        except (BadFile, OSError) as bad:
            sentences = (str(bad),)
        title = one.title or visible(one.path.name)
        self._show(
            title,
            "",
            [Entry(True, _("Import another")), Entry(False, _("All recipes"))],
            lambda another: self._offer_files(one.path.parent) if another else self.open(),
            sentences,
        )

    def _export(self, folder: Path) -> None:
        try:
            written = export_recipes([self._name], self._shop, folder)
            sentence = _("Written to {folder}: {files}.").format(
                folder=folder, files=", ".join(p.name for p in written)
            )
        except (BadFile, OSError) as trouble:
            sentence = _("It could not be written: {why}").format(why=trouble)
        self._show(
            _("Export"),
            "",
            [Entry(None, _("Back to the recipe"))],
            lambda _key: self.open_recipe(self._name),
            (sentence,),
        )
