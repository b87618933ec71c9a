"""What is fuzzed: each importer, and what may come of any bytes given to it.

The only outcomes allowed are a value and the importer's own typed problem; anything else is raised, and is a bug.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from setup_here import ROOT

if TYPE_CHECKING:
    from bayapp.job import Job

FOUND = ROOT / "tests" / "data" / "fuzz"
"""A folder for each importer: the seeds it is fuzzed from, and what was found. A fast test replays them all."""

TODAY = date(2026, 11, 25)
Read = Callable[[bytes], None]
"""Takes any bytes, and raises nothing but where there is a bug."""


def kept(name: str) -> list[Path]:
    """Return the files that are kept for a target."""
    return sorted((FOUND / name).glob("*"))


@cache
def _folder() -> Path:
    return Path(tempfile.mkdtemp(prefix="bay-fuzz-"))


def _document(kind: str) -> Read:
    """Read a file as ``bayapp check`` does; what is right is saved over itself and read again, unchanged."""

    def read(data: bytes) -> None:
        from bayapp.files.documents import KINDS, read_document
        from bayapp.files.keep_format import save_over
        from bayapp.files.library import Library
        from bayapp.files.problems import BadFile

        folder = _folder() / kind
        folder.mkdir(exist_ok=True)
        file = folder / "fuzzed.toml"
        file.write_bytes(data)
        try:
            model, _source = read_document(file, KINDS[Library().check(file)])
        except BadFile as bad:
            _expect_words(str(bad))
            return
        if kind in ("recipe", "product"):
            save_over(file, model)
            assert read_document(file, type(model))[0] == model, "it is another one once it has been saved"

    return read


def _form(data: bytes) -> None:
    _drawn(data, (FOUND / "drawing" / "seed-own-van.svg").read_bytes())


def _drawing(data: bytes) -> None:
    _drawn((FOUND / "vehicle" / "seed-own-van.toml").read_bytes(), data)


def _drawn(form: bytes, drawing: bytes) -> None:
    """Read a form and its drawing as strictly as ``check``, and paint what has been read: it must be paintable."""
    from bayapp.drawing.form_drawing import FormDrawing
    from bayapp.files.drawings.form_check import check_form
    from bayapp.files.library import Library
    from bayapp.files.problems import BadFile

    folder = _folder() / "form"
    folder.mkdir(exist_ok=True)
    (folder / "fuzzed.toml").write_bytes(form)
    (folder / "own-van.svg").write_bytes(drawing)
    try:
        painted = FormDrawing(*Library().load_drawn_vehicle(folder / "fuzzed.toml"))
        for zone in painted.zone_paths:
            painted.anchor(zone)
        check_form(folder / "fuzzed.toml")
    except BadFile as bad:
        _expect_words(str(bad))


def _settings(data: bytes) -> None:
    from bayapp.files.problems import BadFile
    from bayapp.files.shop.settings import load_settings, save_settings, settings_file

    store = _folder() / "store"
    store.mkdir(exist_ok=True)
    settings_file(store).write_bytes(data)
    try:
        settings = load_settings(store)
        save_settings(store, settings)
        assert load_settings(store) == settings, "they are others once they have been saved"
    except BadFile as bad:
        _expect_words(str(bad))


def _events(data: bytes) -> None:
    from bayapp.files.event_lines import read_event_lines
    from bayapp.files.problems import BadFile

    file = _folder() / "events.jsonl"
    file.write_bytes(data)
    try:
        read_event_lines(file, _practice_job())
    except BadFile as bad:
        _expect_words(str(bad))


def _label(data: bytes) -> None:
    from bayapp.files.gs1 import BadScan, read_scan

    try:
        read_scan(data.decode("utf-8", "replace"), TODAY)
    except BadScan as bad:
        _expect_words(str(bad))


def _message(data: bytes) -> None:
    from bayapp.files.shop.sensor_settings import Topic
    from bayapp.sensing.payload import BadMessageError, read_message

    for keys in ({}, {"key": "t", "time_key": "at"}, {"key": "a.0.t"}, {"time_key": "at"}):
        topic = Topic.model_validate({"topic": "bay", "gives": "air_c", **keys})
        try:
            read_message(topic, data)
        except BadMessageError as bad:
            _expect_words(str(bad))


def _shared(data: bytes) -> None:
    """Offer and take in a stick with one file, which another of the same name is there for already."""
    from bayapp.files.exchange import import_document, offered
    from bayapp.files.problems import BadFile

    stick, shop = _folder() / "stick", _folder() / "shop"
    for folder in (stick, shop / "recipes", shop / "products"):
        folder.mkdir(parents=True, exist_ok=True)
    for old in shop.rglob("*.toml"):
        old.unlink()
    (shop / "recipes" / "own-glass.toml").write_bytes(_shipped("recipes", "rim.toml"))
    (stick / "fuzzed.toml").write_bytes(data)
    (one,) = offered(stick)
    try:
        import_document(stick / "fuzzed.toml", shop)
        assert not one.trouble, f"it was taken in, though {one.trouble}"
    except BadFile as bad:
        _expect_words(str(bad))


def _entry(data: bytes) -> None:
    from bayapp.record.bodies import UnreadableBody, from_bodies

    try:
        from_bodies([data.decode("utf-8", "replace")])
    except UnreadableBody as bad:
        _expect_words(str(bad))


def _expect_words(said: str) -> None:
    assert said.strip(), "it is refused without a word"


@cache
def _shipped(*parts: str) -> bytes:
    from bayapp.paths import resource

    return resource(*parts).read_bytes()


@cache
def _practice_job() -> Job:
    from bayapp.files.library import Library
    from bayapp.paths import resource

    return Library().load_job(resource("practice", "practice-job.toml"))


TARGETS: Mapping[str, Read] = {
    "job": _document("job"),
    "recipe": _document("recipe"),
    "product": _document("product"),
    "vehicle": _form,
    "drawing": _drawing,
    "settings": _settings,
    "events": _events,
    "label": _label,
    "message": _message,
    "shared": _shared,
    "entry": _entry,
}
"""Every importer by its name."""
