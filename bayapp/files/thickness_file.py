"""Reads gauge readings from a CSV file: a column of zones and a column of µm, one reading a line."""

import csv
from collections.abc import Iterator, Sequence
from pathlib import Path

from bayapp.files.bounds import LARGEST_THICKNESS_FILE, MOST_FINDINGS, MOST_THICKNESS_LINES
from bayapp.files.plain_file import decode, is_plain, names_in, read_bytes
from bayapp.files.problems import BadFile, Finding
from bayapp.files.validation_messages import did_you_mean, shown
from bayapp.job.model.ids import ZoneId
from bayapp.job.model.thickness import LEAST_UM, MOST_UM
from bayapp.job.model.vehicle import VehicleForm
from bayapp.text.figures import figure
from bayapp.text.language import _

ZONE, UM = "zone", "um"
SEPARATORS = ";\t,"  # the first that the head has counts; with the first two a comma stands in a number


def thickness_files(folder: Path) -> list[Path]:
    """Return the CSV files of a folder, by name.

    Raises:
        OSError: it cannot be read.
    """
    names, _whole = names_in(folder)
    return [folder / name for name in names if name.lower().endswith(".csv") and is_plain(folder / name)]


def read_thickness(path: Path, form: VehicleForm) -> tuple[tuple[ZoneId, tuple[float, ...]], ...]:
    """Return the readings of a file by zone, in its order; other columns than ``zone`` and ``um`` are left out.

    A zone is named by its id or as people call it.

    Raises:
        BadFile: with all that is wrong, line by line; nothing is half-loaded.
    """
    text = decode(path, read_bytes(path, LARGEST_THICKNESS_FILE))
    rows, findings, found = _rows(path, text), list[Finding](), dict[ZoneId, list[float]]()
    head = next(rows, (1, []))
    zone_at, um_at = _columns(path, head)
    zones = _zones_by_name(form)
    for line, row in rows:
        if not any(cell.strip() for cell in row):
            continue
        if len(findings) >= MOST_FINDINGS or line > MOST_THICKNESS_LINES:
            findings.append(Finding(str(path), line, "", _("what follows was not looked at; correct these first")))
            break
        if len(row) > len(head[1]):
            reason = _("there are more columns here than the first line names; a number with a comma needs ; between")
            findings.append(Finding(str(path), line, "", reason))
            continue
        name, um = (row[place].strip() if place < len(row) else "" for place in (zone_at, um_at))
        zone = zones.get(name.casefold())
        wrong = [_no_zone(name, form) if zone is None else None, _no_number(um)]
        findings += [Finding(str(path), line, key, why) for key, why in zip((ZONE, UM), wrong, strict=True) if why]
        if zone is not None and not wrong[1]:
            found.setdefault(zone, []).append(_number(um) or 0.0)
    if not found and not findings:
        findings.append(Finding(str(path), None, "", _("it holds no readings; write one a line, e.g. bonnet,112")))
    if findings:
        raise BadFile(findings)
    return tuple((zone, tuple(um)) for zone, um in found.items())


def _rows(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    head = text.partition("\n")[0]
    separator = next((sign for sign in SEPARATORS if sign in head), ",")
    reader = csv.reader(text.splitlines(), delimiter=separator, strict=True)
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            reason = _("this is no line of CSV: {error}").format(error=error)
            raise BadFile([Finding(str(path), reader.line_num, "", reason)]) from error
        yield reader.line_num, row


def _columns(path: Path, head: tuple[int, Sequence[str]]) -> tuple[int, int]:
    """Return the places of the two columns, by the first line."""
    names = [cell.strip().casefold() for cell in head[1]]
    names = [UM if name in ("µm", "μm") else name for name in names]
    wrong = [key for key in (ZONE, UM) if names.count(key) != 1]
    if wrong:
        reason = _("the first line must name the columns zone and um, each once, e.g. zone,um; it names {listed}")
        listed = ", ".join(shown(cell) for cell in head[1][:20]) or _("nothing")
        raise BadFile([Finding(str(path), head[0], wrong[0], reason.format(listed=listed))])
    return names.index(ZONE), names.index(UM)


def _zones_by_name(form: VehicleForm) -> dict[str, ZoneId]:
    named = {zone.name.casefold(): ZoneId(zone.id) for zone in form.zone}
    return named | {zone.id: ZoneId(zone.id) for zone in form.zone}


def _no_zone(name: str, form: VehicleForm) -> str:
    if not name:
        return _("no zone stands here")
    hint = did_you_mean(name, [zone.id for zone in form.zone])
    return _("{name} is no zone of {title!r}{told}").format(name=shown(name), title=form.title, told=hint)


def _no_number(um: str) -> str:
    number = _number(um)
    if number is None:
        return _("{text} is no number of µm; write e.g. 112").format(text=shown(um))
    if not LEAST_UM <= number <= MOST_UM:
        return _("{um} µm cannot be; from {least} to {most} is possible").format(
            um=shown(um), least=figure(LEAST_UM), most=figure(MOST_UM)
        )
    return ""


def _number(um: str) -> float | None:
    plain = um.replace(",", ".")
    if not plain.replace(".", "", 1).replace("-", "", 1).isdecimal() or not plain.isascii() or len(plain) > 12:
        return None
    try:
        return float(plain)
    except ValueError:
        return None
