"""``doctor``: is this machine fit for a day's work?"""

import json
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Annotated

import typer

from bayapp.cli.options import JsonOption, StoreOption
from bayapp.cli.trouble import NO
from bayapp.paths import default_store
from bayapp.text.language import _

CHILD_TAKES_AT_MOST_S = 30


@dataclass(frozen=True, slots=True)
class Look:
    """One part of the machine: fine, or what to do."""

    part: str
    ok: bool
    says: str


def doctor(
    store: StoreOption = None,
    as_json: JsonOption = False,
    only: Annotated[str | None, typer.Option(hidden=True, help="Look at one part, in this process.")] = None,
) -> None:
    """Look at what a day's work needs, part by part: each fine, or what to do. Exit 1 when one is not fine."""
    from bayapp.cli import doctor_checks
    from bayapp.cli.doctor_sensors import check_sensors

    place = store or default_store()
    looks: Mapping[str, Callable[[], tuple[bool, str]]] = {
        "store": lambda: doctor_checks.look_at_store(place),
        "clock": lambda: doctor_checks.look_at_clock(place),
        "sound": doctor_checks.look_at_sound if only else lambda: _in_child("sound"),
        "screen": doctor_checks.look_at_screen if only else lambda: _in_child("screen"),
        "libraries": doctor_checks.look_at_libraries,
        "sensors": lambda: check_sensors(place),
        "planner": lambda: doctor_checks.look_at_planner(_me()),
    }
    if only and only not in looks:
        raise typer.BadParameter(
            _("{only!r} is none of {listed}").format(only=only, listed=", ".join(looks)), param_hint="--only"
        )
    found = [Look(part, *look()) for part, look in looks.items() if only in (None, part)]
    ok = all(look.ok for look in found)
    if as_json:
        typer.echo(json.dumps({"ok": ok, "parts": [asdict(look) for look in found]}, indent=1, ensure_ascii=False))
    else:
        for look in found:
            typer.echo(f"{look.part:<10} {_('fine') if look.ok else _('NOT FINE')}  {look.says}")
    raise typer.Exit(0 if ok else NO)


def _me() -> list[str]:
    return [sys.executable] if getattr(sys, "frozen", False) else [sys.executable, "-m", "bayapp"]


def _in_child(part: str) -> tuple[bool, str]:
    """Look at a part in a process of its own: Qt ends a process that has no usable display or sound library."""
    try:
        child = subprocess.run(
            [*_me(), "doctor", "--json", "--only", part],
            capture_output=True,
            text=True,
            timeout=CHILD_TAKES_AT_MOST_S,
            check=False,
        )
        told = json.loads(child.stdout)["parts"][0]
    except subprocess.TimeoutExpired:
        return False, _("It gave no answer within {seconds} s; start the machine anew and look again.").format(
            seconds=CHILD_TAKES_AT_MOST_S
        )
    except ValueError:
        first = (child.stderr.strip().splitlines() or [_("it ended with code {code}").format(code=child.returncode)])[0]
        return False, _("Qt cannot use it: {first}").format(first=first)
    return bool(told["ok"]), str(told["says"])
