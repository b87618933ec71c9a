"""``air``: the dew point, how far a surface is above it, and whether that is right for coating."""

import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bayapp.cli.options import JsonOption
from bayapp.cli.trouble import NO, bad_input
from bayapp.text.language import _

if TYPE_CHECKING:
    from bayapp.air import Fitness


def air(
    air_c: Annotated[float, typer.Option("--air-c", metavar="T", help="Temperature of the air, °C.")],
    rh_percent: Annotated[float, typer.Option("--rh-percent", metavar="H", help="Relative humidity, %.")],
    surface_c: Annotated[
        float | None, typer.Option("--surface-c", metavar="S", help="Temperature of the panel, °C; else the air's.")
    ] = None,
    margin_c: Annotated[
        float, typer.Option("--margin-c", metavar="M", help="How far above the dew point a coat needs the panel, °C.")
    ] = 3.0,
    as_json: JsonOption = False,
) -> None:
    """Say the dew point (below 0 °C the frost point), the margin, and whether it is right for coating.

    Exit 0: right for coating by the dew point. 1: not; then what would make it right. 2: a value that cannot be.
    """
    from bayapp.air import ImpossibleAirError, Limits, assess
    from bayapp.job.text.air_sentences import impossible_text

    if not 0 <= margin_c <= 20:
        raise bad_input(_("--margin-c is {margin_c:g}; it must be between 0 and 20").format(margin_c=margin_c))
    try:
        found = assess(air_c, rh_percent, surface_c, Limits(margin_k=margin_c))
    except ImpossibleAirError as wrong:
        raise bad_input(impossible_text(wrong)) from wrong
    typer.echo(json.dumps(_as_json(found), indent=1) if as_json else _as_text(found))
    raise typer.Exit(0 if found.fit else NO)


def _as_json(found: "Fitness") -> dict[str, Any]:
    return {
        "dew_point_c": round(found.dew_c, 3),
        "margin_c": round(found.margin_k, 3),
        "fit_to_coat": found.fit,
        "needed_margin_c": found.limits.margin_k,
        "frost": found.frost,
        "warm_surface_by_c": next((r.surface_by_k for r in found.remedies() if r.surface_by_k), None),
        "dry_air_to_percent": next((r.rh_to_percent for r in found.remedies() if r.rh_to_percent), None),
    }


def _as_text(found: "Fitness") -> str:
    from bayapp.job.text.air_sentences import advice_text, hindrance_texts, margin_text
    from bayapp.text.figures import warmth

    lines = []
    if found.fit:
        sentence = _("{standing}; {needed} is enough.")
        standing = margin_text(found.margin_k, found.dew_c)
        lines.append(_("Right for coating."))
        lines.append(sentence.format(standing=standing, needed=warmth(found.limits.margin_k)))
    else:
        lines.append(_("Not right for coating."))
        lines += [*hindrance_texts(found), advice_text(found)]
    if not found.surface_read:
        lines.append(
            _("The panel was not read and is taken to be as warm as the air; a car that has just come in is colder.")
        )
    lines.append(_("A product's own limits come on top: read its sheet."))
    return "\n".join(lines)
