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
class Check:
    """The outcome for one part of the machine: fine, or what to do about it."""

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
    checks: Mapping[str, Callable[[], tuple[bool, str]]] = {
        "store": lambda: doctor_checks.check_store(place),
        "clock": lambda: doctor_checks.check_clock(place),
        "sound": doctor_checks.check_sound if only else lambda: in_child("sound"),
        "screen": doctor_checks.check_screen if only else lambda: in_child("screen"),
        "libraries": doctor_checks.check_libraries,
        "sensors": lambda: check_sensors(place),
        "planner": lambda: doctor_checks.check_planner(_me()),
    }
    if only and only not in checks:
        raise typer.BadParameter(
            _("{only!r} is none of {listed}").format(only=only, listed=", ".join(checks)), param_hint="--only"
        )
    found = [Check(part, *check()) for part, check in checks.items() if only in (None, part)]
    ok = all(check.ok for check in found)
    if as_json:
        typer.echo(json.dumps({"ok": ok, "parts": [asdict(check) for check in found]}, indent=1, ensure_ascii=False))
    else:
        for check in found:
            typer.echo(f"{check.part:<10} {_('fine') if check.ok else _('NOT FINE')}  {check.says}")
    raise typer.Exit(0 if ok else NO)


def _me() -> list[str]:
    return [sys.executable] if getattr(sys, "frozen", False) else [sys.executable, "-m", "bayapp"]


def in_child(part: str) -> tuple[bool, str]:
    """Check a part in a process of its own: Qt ends a process that has no usable display or sound library."""
    try:
        child = subprocess.run(
            [*_me(), "doctor", "--json", "--only", part],
            capture_output=True,
            text=True,
            timeout=CHILD_TAKES_AT_MOST_S,
            check=False,
        )
        answer = json.loads(child.stdout)["parts"][0]
    except subprocess.TimeoutExpired:
        return False, _("It gave no answer within {seconds} s; start the machine anew and look again.").format(
            seconds=CHILD_TAKES_AT_MOST_S
        )
    except ValueError:
        first = (child.stderr.strip().splitlines() or [_("it ended with code {code}").format(code=child.returncode)])[0]
        return False, _("Qt cannot use it: {first}").format(first=first)
    return bool(answer["ok"]), str(answer["says"])
