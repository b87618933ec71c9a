"""``picture``: the screen as a picture, without a display."""

import re
from pathlib import Path
from typing import Annotated

import typer

from bayapp.cli.day import read_day
from bayapp.cli.options import instant
from bayapp.cli.trouble import bad_input
from bayapp.text.language import _, languages, use_language

SMALLEST, LARGEST = 320, 8192
"""Pixels along one side."""


def picture(
    out: Annotated[Path, typer.Option(metavar="FILE.png", help="The picture to write.")],
    job: Annotated[Path | None, typer.Option(metavar="FILE", help="A job file; by default the practice car.")] = None,
    events: Annotated[Path | None, typer.Option(metavar="FILE", help="Lines of events that have happened.")] = None,
    at: Annotated[str | None, typer.Option(metavar="TIME", help="e.g. 2026-11-25T08:00:00Z.")] = None,
    page: Annotated[str, typer.Option(metavar="NAME", help="Which page of the screen.")] = "board",
    size: Annotated[str, typer.Option(metavar="WxH", help="Pixels.")] = "1920x1080",
    theme: Annotated[str, typer.Option(metavar="NAME", help="Which theme.")] = "dark",
    zone: Annotated[str, typer.Option(metavar="ID", help="Whose ladder, on the page of that name.")] = "",
    language: Annotated[str | None, typer.Option(metavar="TAG", help="e.g. de; by default the machine's.")] = None,
) -> None:
    """Paint the screen as it would look at an instant. Events that the gate refuses are left out and named."""
    if out.suffix.lower() != ".png":
        raise typer.BadParameter(
            _("{out} is no PNG; write a name that ends in .png").format(out=out), param_hint="--out"
        )
    if events is not None and job is None:
        raise typer.BadParameter(_("events need the job they belong to; add --job"), param_hint="--events")
    if language and use_language(language) != language:
        problem = _("there is no catalogue for {language!r}; there are {listed}").format(
            language=language, listed=", ".join(languages())
        )
        raise typer.BadParameter(problem, param_hint="--language")
    pixels, moment = _size(size), None if at is None else instant(at)
    loaded, happened = (None, ()) if job is None else read_day(job, events, moment)
    if loaded and moment is None:
        moment = max([loaded.start, *(e.at for e in happened)])
    _refuse_unknown(out, page, theme)
    if zone and loaded and not loaded.zones_named(zone):
        raise typer.BadParameter(_("{zone!r} is not worked in this job").format(zone=zone), param_hint="--zone")
    from bayapp.screen.picture import NothingToShow, Scene, paint_picture

    try:
        paint_picture(out, Scene(loaded, happened, moment), page, pixels, theme, zone)
    except NothingToShow as nothing:
        raise bad_input(str(nothing)) from nothing
    typer.echo(out)


def _refuse_unknown(out: Path, page: str, theme: str) -> None:
    from bayapp.drawing.palette import PALETTES
    from bayapp.screen.picture import PAGES

    for given, known, option in ((page, PAGES, "--page"), (theme, PALETTES, "--theme")):
        if given not in known:
            raise typer.BadParameter(
                _("{given!r} is none of {listed}").format(given=given, listed=", ".join(known)), param_hint=option
            )
    if not out.absolute().parent.is_dir():
        raise typer.BadParameter(
            _("there is no folder {folder}; make it first").format(folder=out.absolute().parent), param_hint="--out"
        )


def _size(text: str) -> tuple[int, int]:
    sides = re.fullmatch(r"(\d{1,5})x(\d{1,5})", text)
    if not sides or not all(SMALLEST <= int(side) <= LARGEST for side in sides.groups()):
        problem = _(
            "{text!r} is no size; write width x height in pixels, e.g. 1920x1080, from {least} to {most}"
        ).format(text=text, least=SMALLEST, most=LARGEST)
        raise typer.BadParameter(problem, param_hint="--size")
    return int(sides[1]), int(sides[2])
