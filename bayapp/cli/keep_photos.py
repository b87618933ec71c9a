"""``keep-photos``: takes photos into a store, each looked over and decoded here, where nothing is lost by an end."""

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bayapp.cli.options import StoreOption
from bayapp.paths import default_store
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.record.photos import Draft

MORE_MB = 250
"""What this process may take beside what it has when all is loaded; a decoder is kept to less."""
MORE_CPU_S = 20


def keep_photos(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Photos to take in.")],
    store: StoreOption = None,
) -> None:
    """Take photos into the store and print a line of JSON before and after each; the screen's own.

    A file that is no photo is said to be none, and the next one follows.
    """
    from bayapp.record.photos import clear_killed

    place = store or default_store()
    clear_killed(place)
    _load_all()
    for file in files:
        _print({"reads": str(file)})
        _limit()
        _print({"source": str(file), **_kept(file, place)})


def _kept(file: Path, store: Path) -> dict[str, Any]:
    """Take one photo in; return what it is kept under, or why it is not."""
    from bayapp.drawing.photos import Undecodable
    from bayapp.files.bounds import LARGEST_PHOTO
    from bayapp.files.photo_format import BadPhoto
    from bayapp.record.photos import PhotoTooLarge, SourceUnreadable, drafted
    from bayapp.record.problems import StoreProblem, store_problems

    try:
        with store_problems(str(store)), drafted(file, store, LARGEST_PHOTO) as draft:
            return _settled(draft, store)
    except PhotoTooLarge:
        why = _("it is larger than {size} MB, so it is not what it should be")
        return {"why": why.format(size=LARGEST_PHOTO // 1_000_000)}
    except (SourceUnreadable, BadPhoto, Undecodable) as bad:
        return {"why": str(bad)}
    except StoreProblem as problem:
        return {"why": f"{problem.what} {problem.remedy}"}


def _settled(draft: "Draft", store: Path) -> dict[str, Any]:
    from bayapp.drawing.photos import decoded, write_preview
    from bayapp.files.bounds import DECODER_MB
    from bayapp.files.photo_format import photo_format
    from bayapp.private_files import make_private_folder
    from bayapp.record.photos import preview_file, settle

    found = photo_format(draft.path.read_bytes())
    preview = preview_file(store, draft.sha256)
    image = decoded(draft.path, found.kind, DECODER_MB)
    make_private_folder(preview.parent)
    write_preview(image, preview)
    settle(draft, store, found.kind)
    return {"sha256": draft.sha256, "kind": found.kind, "size": draft.size}


def _load_all() -> None:
    """Load what reading needs, before the limits count from what is loaded."""
    import bayapp.files.photo_format
    import bayapp.record.problems  # noqa: F401
    from bayapp.drawing.photos import load_decoders

    load_decoders()


def _limit() -> None:
    """End this process by itself where a photo gets past all bounds."""
    if sys.platform != "linux":
        return
    import resource

    used = resource.getrusage(resource.RUSAGE_SELF)
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    resource.setrlimit(resource.RLIMIT_CPU, (int(used.ru_utime + used.ru_stime) + MORE_CPU_S, resource.RLIM_INFINITY))
    resource.setrlimit(resource.RLIMIT_AS, (pages * resource.getpagesize() + MORE_MB * 10**6, resource.RLIM_INFINITY))


def _print(line: dict[str, Any]) -> None:
    typer.echo(json.dumps(line, ensure_ascii=False))
    sys.stdout.flush()
