"""A private X server with one bare screen: what is on it, and a finger that touches it. No window manager."""

import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from ctypes import CDLL, POINTER, Structure, Union, byref, c_char_p, c_int, c_long, c_ulong, c_void_p
from ctypes.util import find_library
from pathlib import Path
from tempfile import mkdtemp
from threading import Event
from time import perf_counter
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPoint, QRect

PROGRAMS_ARE_HERE = all(shutil.which(name) for name in ("Xvfb", "xdotool"))
SIZE = (1920, 1080)
DEADLINE_S = 60.0
BETWEEN_LOOKS_S = 0.03

T = TypeVar("T")
Picture = NDArray[np.uint8]


def until(look: Callable[[], T | None], what: str) -> T:
    """Look again and again until there is something to see, not None; AssertionError after a minute."""
    end = perf_counter() + DEADLINE_S
    while (found := look()) is None:
        assert perf_counter() < end, f"waited {DEADLINE_S:.0f} s for {what}"
        Event().wait(BETWEEN_LOOKS_S)
    return found


class Display:
    """One X server; ``name`` is what DISPLAY must be for the programs that shall be shown on it."""

    def __init__(self, name: str, picture_file: Path) -> None:
        self.name = name
        self._file = picture_file

    def picture(self) -> Picture:
        """Return the screen as rows of pixels of blue, green, red."""
        raw = self._file.read_bytes()
        head = np.frombuffer(raw, ">u4", 25)  # the header of XWD files, see X11/XWDFile.h
        size, width, height, row, colours = (int(head[n]) for n in (0, 4, 5, 12, 19))
        begin = size + 12 * colours
        rows = np.frombuffer(raw, np.uint8, row * height, begin).reshape(height, row)
        return rows[:, : 4 * width].reshape(height, width, 4)[:, :, :3]

    def part(self, where: QRect) -> Picture:
        """Return a part of the screen."""
        return self.picture()[where.top() : where.bottom() + 1, where.left() : where.right() + 1]

    def press(self, at: QPoint) -> None:
        """Lay a finger on a point."""
        self._do("mousemove", str(at.x()), str(at.y()), "mousedown", "1")

    def lift(self) -> None:
        """Lift it again."""
        self._do("mouseup", "1")

    def tap(self, at: QPoint) -> None:
        """Touch a point for a moment."""
        self._do("mousemove", str(at.x()), str(at.y()), "click", "1")

    def key(self, name: str) -> None:
        """Press a key shortly."""
        self._do("key", name)

    def scan(self, *names: str) -> None:
        """Press keys as fast as a scanner types them, 5 ms apart."""
        self._do("key", "--delay", "5", *names)

    def window(self, process: int) -> int:
        """Return the visible window of a process."""
        found = subprocess.run(
            ["xdotool", "search", "--onlyvisible", "--pid", str(process)],
            env=self._environment(),
            capture_output=True,
            text=True,
            check=True,
        )
        return int(found.stdout.split()[-1])

    def ask_to_close(self, window: int) -> None:
        """Send what a window manager sends when a person closes a window: WM_DELETE_WINDOW (ICCCM 4.2.8.1)."""
        _send_delete(self.name, window)

    def _do(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], env=self._environment(), check=True)

    def _environment(self) -> dict[str, str]:
        return {**os.environ, "DISPLAY": self.name}


@contextmanager
def display() -> Iterator[Display]:
    """Run an X server on a number that it finds free itself."""
    folder = Path(mkdtemp(prefix="bay-display-"))
    reads, writes = os.pipe()
    command = ["Xvfb", "-displayfd", str(writes), "-screen", "0", f"{SIZE[0]}x{SIZE[1]}x24", "-nolisten", "tcp"]
    command += ["-fbdir", str(folder)]
    server = subprocess.Popen(command, pass_fds=[writes], stderr=subprocess.DEVNULL)
    os.close(writes)
    try:
        with os.fdopen(reads) as answer:
            number = answer.readline().strip()
        assert number, "the X server did not start"
        yield Display(f":{number}", folder / "Xvfb_screen0")
    finally:
        server.terminate()
        server.wait(timeout=10)
        shutil.rmtree(folder, ignore_errors=True)


class _ClientMessage(Structure):
    """XClientMessageEvent of X11/Xlib.h, with its five longs of data."""

    _fields_ = [
        ("type", c_int),
        ("serial", c_ulong),
        ("send_event", c_int),
        ("display", c_void_p),
        ("window", c_ulong),
        ("message_type", c_ulong),
        ("format", c_int),
        ("data", c_long * 5),
    ]


class _Event(Union):
    """XEvent: as long as the longest event."""

    _fields_ = [("message", _ClientMessage), ("pad", c_long * 24)]


def _send_delete(name: str, window: int) -> None:
    x = CDLL(find_library("X11"))
    x.XOpenDisplay.restype, x.XOpenDisplay.argtypes = c_void_p, [c_char_p]
    x.XInternAtom.restype, x.XInternAtom.argtypes = c_ulong, [c_void_p, c_char_p, c_int]
    x.XSendEvent.argtypes = [c_void_p, c_ulong, c_int, c_long, POINTER(_Event)]
    x.XCloseDisplay.argtypes = [c_void_p]
    connection = x.XOpenDisplay(name.encode())
    event = _Event()
    event.message.type, event.message.window, event.message.format = 33, window, 32  # 33: ClientMessage
    event.message.message_type = x.XInternAtom(connection, b"WM_PROTOCOLS", 0)
    event.message.data[0] = x.XInternAtom(connection, b"WM_DELETE_WINDOW", 0)
    x.XSendEvent(connection, window, 0, 0, byref(event))
    x.XCloseDisplay(connection)
