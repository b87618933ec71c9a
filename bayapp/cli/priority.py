"""Lets what the screen has others do come after all else on the machine."""

import os
import sys
from typing import Annotated

import typer

LESS_URGENT = 10
BELOW_NORMAL_PRIORITY_CLASS = 0x4000
"""Of SetPriorityClass in the Windows API."""


def lower_priority() -> None:
    """Let everything else on this machine come first: clocks, touches and sound."""
    if sys.platform == "win32":
        import ctypes

        kernel = ctypes.windll.kernel32
        kernel.SetPriorityClass(kernel.GetCurrentProcess(), BELOW_NORMAL_PRIORITY_CLASS)
    else:
        os.nice(LESS_URGENT)


def _lower_if(in_background: bool) -> bool:
    if in_background:
        lower_priority()
    return in_background


BackgroundOption = Annotated[
    bool, typer.Option("--in-background", hidden=True, help="Let all else go first.", callback=_lower_if)
]
"""Of commands that the wall runs beside itself."""
