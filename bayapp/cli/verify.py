"""``verify``: is the journal, all of it, what was written, and are its photos?"""

import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from bayapp.cli.options import JsonOption, StoreOption
from bayapp.cli.priority import BackgroundOption
from bayapp.cli.trouble import BAD_INPUT, NO, complain
from bayapp.paths import default_store
from bayapp.text.language import _, ngettext

if TYPE_CHECKING:
    from bayapp.record.chain import Head
    from bayapp.record.findings import Finding
    from bayapp.record.photos import PhotoAltered, PhotoMissing

    Found = Finding | PhotoMissing | PhotoAltered


def verify(
    store: StoreOption = None,
    as_json: JsonOption = False,
    _in_background: BackgroundOption = False,
) -> None:
    """Check the whole journal against its checksums and its last known entry, and its photos, also while the wall runs.

    Exit 0: all entries and photos are as they were written. 1: what is not, or how many are missing, is named.
    2: there is no journal of this bayapp to check.
    """
    from bayapp.record import StoreProblem, open_journal
    from bayapp.record.findings import Unusable
    from bayapp.record.integrity import check
    from bayapp.record.photos import wrong

    place = store or default_store()
    findings: tuple[Found, ...] = check(place)
    head: Head | None = None
    if not findings:
        try:
            journal = open_journal(place, write=False)
        except StoreProblem as problem:  # sound, but of an older version
            findings = (Unusable(f"{problem.what} {problem.remedy}"),)
        else:
            head, photos = journal.head(), journal.photos()
            journal.close()
            findings = (*findings, *wrong(place, photos))
    if as_json:
        typer.echo(json.dumps(_as_json(place, findings, head), indent=1, ensure_ascii=False))
    else:
        _say(place, findings, head)
    raise typer.Exit(_code(findings))


def _code(findings: "tuple[Found, ...]") -> int:
    from bayapp.record.findings import Unusable

    if any(isinstance(finding, Unusable) for finding in findings):
        return BAD_INPUT
    return NO if findings else 0


def _as_json(store: Path, findings: "tuple[Found, ...]", head: "Head | None") -> dict[str, Any]:
    return {
        "ok": not findings,
        "store": str(store),
        "head": asdict(head) if head else None,
        "findings": [{"kind": type(found).__name__, "words": found.words, **asdict(found)} for found in findings],
    }


def _say(store: Path, findings: "tuple[Found, ...]", head: "Head | None") -> None:
    if head:
        typer.echo(
            ngettext(
                "{store}: {n} entry, as it was written; its checksum is {checksum}.",
                "{store}: {n} entries, all as they were written; the checksum of the last is {checksum}.",
                head.seq,
            ).format(store=store, n=head.seq, checksum=head.checksum)
        )
    for found in findings:
        complain(_("{store}: {finding}").format(store=store, finding=found.words))
