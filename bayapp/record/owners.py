"""The owners of cars, kept beside the journal and never in it, so that they can be erased without touching it.

One file for its user alone holds who told a name or a phone, by the car's job. A copy lies beside the backups. What was
erased is remembered by its job alone, so that no older copy brings it back.
"""

import os
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from bayapp.job.model.ids import JobId
from bayapp.record.durable import sync
from bayapp.text.language import _
from bayapp.text.readable import fault_in

NAME = "owners.json"
_DRAFT = ".owners.part"
LARGEST = 20_000_000
"""Bytes: 100,000 owners have ten million."""
LONGEST = 80


class OwnersUnreadable(Exception):  # noqa: N818 - says what was found, not what failed
    """The file of owners is damaged or cannot be read; the text says why, and nothing of what stands in it."""


def _readable(text: str) -> str:
    fault = fault_in(text)
    if fault:
        raise ValueError(fault)
    return text.strip()


Said = Annotated[str, Field(max_length=LONGEST), AfterValidator(_readable)]


class Owner(BaseModel):
    """Whose car it is, as far as somebody told; empty where nobody did."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    name: Said = ""
    phone: Said = ""


NOBODY = Owner()


class Owners(BaseModel):
    """Every owner who was told, by the job of the car, and the jobs whose owner was erased."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    format: Literal["bayapp-owners/1"] = "bayapp-owners/1"
    owners: dict[JobId, Owner] = Field(default_factory=dict)
    erased: tuple[JobId, ...] = ()

    def joined(self, newer: "Owners") -> "Owners":
        """Return all that this one and a newer one hold, without what was erased in either; the newer one counts."""
        erased = {job for job in (*self.erased, *newer.erased) if job not in newer.owners}
        owners = {job: owner for job, owner in (self.owners | newer.owners).items() if job not in erased}
        return Owners(owners=owners, erased=tuple(sorted(erased)))


def owner_of(folder: Path, job: JobId) -> Owner:
    """Return the owner of a car; ``folder`` is that of the store.

    Raises:
        OwnersUnreadable: the file cannot be read, or is damaged.
    """
    return _read(folder).owners.get(job, NOBODY)


def keep_owner(folder: Path, job: JobId, owner: Owner) -> Path | None:
    """Keep the owner of a car, durably; return where a damaged file was laid aside, None where it was sound.

    Raises:
        OSError: it cannot be written; nothing was changed.
    """
    known, aside = _sound(folder)
    _write(folder, known.joined(Owners(owners={job: owner})))
    return aside


def erase_owner(folder: Path, job: JobId) -> Path | None:
    """Erase the owner of a car, durably; copies beside backups lose it with the next backup.

    Returns where a damaged file was laid aside, in which the owner may still stand; None where it was sound.

    Raises:
        OSError: it cannot be written; nothing was changed.
    """
    known, aside = _sound(folder)
    others = {other: owner for other, owner in known.owners.items() if other != job}
    erased = tuple(sorted({*known.erased, job}))
    _write(folder, Owners(owners=others, erased=erased))
    return aside


def carry(source: Path, target: Path) -> None:
    """Join the owners of one folder into those of another, durably; those of a damaged file stay where they are.

    Raises:
        OSError: the target cannot be written.
    """
    with suppress(OwnersUnreadable):
        here = _read(source)
        if here != Owners():
            there, _aside = _sound(target)
            joined = there.joined(here)
            if joined != there:
                _write(target, joined)


def fetch(backup: Path, store: Path) -> None:
    """Join what a folder of backups holds into a store that it is put back to; what the store knows counts.

    Raises:
        OSError: the store cannot be written.
    """
    with suppress(OwnersUnreadable):
        there = _read(backup)
        if there != Owners():
            here, _aside = _sound(store)
            _write(store, there.joined(here))


def _read(folder: Path) -> Owners:
    path = folder / NAME
    try:
        with path.open("rb") as file:
            contents = file.read(LARGEST + 1)
    except FileNotFoundError:
        return Owners()
    except OSError as trouble:
        raise OwnersUnreadable(
            _("{file} cannot be read: {why}").format(file=path, why=trouble.strerror or trouble)
        ) from None
    if len(contents) <= LARGEST:
        with suppress(ValidationError):  # what it says would tell what stands there
            return Owners.model_validate_json(contents)
    raise OwnersUnreadable(_("{file} is damaged; the names in it cannot be read.").format(file=path))


def _sound(folder: Path) -> tuple[Owners, Path | None]:
    """Return the owners of a folder; a file that cannot be read is laid aside, and none are known from then on."""
    try:
        return _read(folder), None
    except OwnersUnreadable:
        aside = next(
            path for number in range(1, 10_000) if not (path := folder / f"owners-damaged-{number}.json").exists()
        )
        (folder / NAME).replace(aside)
        return Owners(), aside


def _write(folder: Path, owners: Owners) -> None:
    draft = folder / _DRAFT
    draft.unlink(missing_ok=True)
    try:
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(owners.model_dump_json(indent=1) + "\n")
            file.flush()
            os.fsync(file.fileno())
        draft.replace(folder / NAME)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    sync(folder)
