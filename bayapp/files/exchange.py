"""Imports recipes and products from a folder and exports them to one, byte for byte."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from bayapp.files.atomic_write import write_whole
from bayapp.files.bounds import LARGEST_TOML, MOST_FOLDER_BYTES, MOST_SHARED_FILES
from bayapp.files.documents import kind_of, parse
from bayapp.files.library import Kind, Library
from bayapp.files.plain_file import is_plain, names_in, read_bytes, size_of
from bayapp.files.problems import BadFile, Finding
from bayapp.files.toml_file import read_toml
from bayapp.job import Product, Recipe
from bayapp.paths import resource
from bayapp.text.language import _


@dataclass(frozen=True, slots=True)
class Offered:
    """A TOML file found in a folder: what it is, or what is wrong with it.

    Attributes:
        kind: "recipe" or "product"; empty where the file is neither or cannot be used.
        trouble: file, place and reason of all that is wrong; empty where nothing is.
    """

    path: Path
    kind: str
    name: str
    title: str
    trouble: str


def offered(folder: Path) -> list[Offered]:
    """Return the TOML files of a folder and of its ``recipes`` and ``products``, the usable ones first.

    Raises:
        OSError: the folder cannot be read.
    """
    places = [folder, *(folder / kind for kind in ("recipes", "products") if (folder / kind).is_dir())]
    files, whole = [], True
    for place in places:
        names, all_of_it = names_in(place)
        files += [place / name for name in names if name.lower().endswith(".toml") and is_plain(place / name)]
        whole = whole and all_of_it
    found = list(_looked_at(files[:MOST_SHARED_FILES]))
    if not whole or len(files) > MOST_SHARED_FILES:
        reason = _("more lies in this folder than is shown; put what you want to import in a folder of its own")
        found.append(Offered(folder, "", "", "", reason))
    return sorted(found, key=lambda one: (bool(one.trouble), one.kind != "recipe", one.title or one.path.name))


def _looked_at(files: Iterable[Path]) -> Iterator[Offered]:
    """Yield what each file is, until together they are more than is read at a time."""
    left = MOST_FOLDER_BYTES
    for path in files:
        left -= size_of(path)
        if left >= 0:
            yield _read(path)
        else:
            reason = _("it was not read, because the files before it are large; put it in a folder of its own")
            yield Offered(path, "", "", "", reason)


def _read(path: Path) -> Offered:
    try:
        model = read_shared(path)
    except BadFile as bad:
        return Offered(path, "", "", "", str(bad))
    kind = "recipe" if isinstance(model, Recipe) else "product"
    return Offered(path, kind, model.name, model.title or model.name, "")


def read_shared(path: Path) -> Recipe | Product:
    """Return the recipe or product of a file.

    Raises:
        BadFile: it is neither, or something in it is wrong.
    """
    source = read_toml(path)
    kind = kind_of(source)
    if kind not in ("recipe", "product"):
        raise BadFile([source.finding(("format",), _("only recipes and products are taken in here"))])
    return parse(source, Recipe) if kind == "recipe" else parse(source, Product)


def import_document(path: Path, shop: Path) -> Path:
    """Copy a recipe or product into the shop's own files, byte for byte; return where it lies now.

    If another file already has its name, with other contents, a recipe gets the next free name, and only its ``name``
    is changed. A product does not, because recipes refer to it by name.

    Raises:
        BadFile: the file is wrong, or a different product has its name.
        OSError: the shop's folder cannot be written.
    """
    model, contents = read_shared(path), read_bytes(path, LARGEST_TOML)
    kind: Kind = "recipe" if isinstance(model, Recipe) else "product"
    library, name = Library(shop, resource()), model.name
    if name in library.names(kind):
        there = library.find(kind, name)
        if read_bytes(there, LARGEST_TOML) == contents:
            return there
        if isinstance(model, Product):
            reason = _("there is another product called {name!r} already; change the name in this file, and in recipes")
            raise BadFile([Finding(str(path), None, "name", reason.format(name=name))])
        name = _next_name(name, library.names("recipe"))
        contents = _renamed(contents, name)
    return write_whole(shop / f"{kind}s" / f"{name}.toml", contents)


def export_recipes(names: Iterable[str], shop: Path, folder: Path) -> list[Path]:
    """Copy these recipes and the products they name into a folder, byte for byte; return the files written.

    A file of the same name with other contents is kept; the copy gets a number.

    Raises:
        BadFile: there is no such recipe, or it is wrong.
        OSError: the folder cannot be written.
    """
    library, sources = Library(shop, resource()), dict[Path, None]()
    for name in names:
        sources[library.find("recipe", name)] = None
        known = set(library.names("product"))
        for step in library.load_recipe(name).step:
            if step.product in known:
                sources[library.find("product", step.product)] = None
    written = []
    for source in sources:
        contents, target, number = read_bytes(source, LARGEST_TOML), folder / source.name, 2
        while target.exists() and not _holds(target, contents):
            target, number = folder / f"{source.stem}-{number}.toml", number + 1
        written.append(write_whole(target, contents))
    return written


def _holds(path: Path, contents: bytes) -> bool:
    try:
        return read_bytes(path, LARGEST_TOML) == contents
    except BadFile:
        return False


def _next_name(name: str, taken: Iterable[str]) -> str:
    names, number = set(taken), 2
    while f"{name[:56]}-{number}" in names:
        number += 1
    return f"{name[:56]}-{number}"


def _renamed(contents: bytes, name: str) -> bytes:
    """Return a TOML file with another name and nothing else changed, comments and all."""
    import tomlkit  # noqa: PLC0415 (only who needs it pays for it)

    document = tomlkit.parse(contents.decode("utf-8-sig"))
    document["name"] = name
    return tomlkit.dumps(document).encode()
