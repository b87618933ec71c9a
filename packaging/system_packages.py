"""Which Debian packages Qt and the tests need, what lacks of them, and how to get it.

The table was found by asking `ldd` about Qt's modules and plugins on a bare Debian 12 (bookworm).
"""

from __future__ import annotations  # so that an old Python gets as far as the message that it is too old

import os
import shutil
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

QT_MODULES = ("QtCore", "QtGui", "QtWidgets", "QtSvg", "QtDBus", "QtTest", "QtMultimedia", "QtTextToSpeech")
QT_PLUGINS = (
    "platforms/libqxcb.so",
    "platforms/libqoffscreen.so",
    "platforms/libqwayland.so",
    "multimedia/libffmpegmediaplugin.so",
)
# shared object up to ".so" -> Debian package
LIBRARY_PACKAGES = {
    "libEGL": "libegl1",
    "libGL": "libgl1",
    "libX11": "libx11-6",
    "libX11-xcb": "libx11-xcb1",
    "libXext": "libxext6",
    "libXrandr": "libxrandr2",
    "libXrender": "libxrender1",
    "libdbus-1": "libdbus-1-3",
    "libdrm": "libdrm2",
    "libfontconfig": "libfontconfig1",
    "libfreetype": "libfreetype6",
    "libglib-2.0": "libglib2.0-0",
    "libgssapi_krb5": "libgssapi-krb5-2",
    "libgthread-2.0": "libglib2.0-0",
    "libpulse": "libpulse0",
    "libwayland-client": "libwayland-client0",
    "libwayland-cursor": "libwayland-cursor0",
    "libxcb": "libxcb1",
    "libxcb-cursor": "libxcb-cursor0",
    "libxcb-glx": "libxcb-glx0",
    "libxcb-icccm": "libxcb-icccm4",
    "libxcb-image": "libxcb-image0",
    "libxcb-keysyms": "libxcb-keysyms1",
    "libxcb-randr": "libxcb-randr0",
    "libxcb-render": "libxcb-render0",
    "libxcb-render-util": "libxcb-render-util0",
    "libxcb-shape": "libxcb-shape0",
    "libxcb-shm": "libxcb-shm0",
    "libxcb-sync": "libxcb-sync1",
    "libxcb-util": "libxcb-util1",
    "libxcb-xfixes": "libxcb-xfixes0",
    "libxcb-xkb": "libxcb-xkb1",
    "libxkbcommon": "libxkbcommon0",
    "libxkbcommon-x11": "libxkbcommon-x11-0",
}

# program -> Debian package; the tests open real windows, press real buttons and listen to real sound
TEST_TOOLS = {
    "Xvfb": "xvfb",
    "xauth": "xauth",  # xvfb-run calls it, and apt counts it as a mere recommendation
    "xdotool": "xdotool",
    "pulseaudio": "pulseaudio",
    "pactl": "pulseaudio-utils",
    "pdftotext": "poppler-utils",
    "mosquitto": "mosquitto",  # the broker that MQTT sensors are tried with
    "strace": "strace",  # sees every socket that the program opens
}


def package_of(library: str) -> str | None:
    """Return the Debian package that holds a shared object such as ``libEGL.so.1``, or None when unknown."""
    return LIBRARY_PACKAGES.get(library.partition(".so")[0])


def read_ldd(output: str) -> list[str]:
    """Return the names that `ldd` (in the C locale) reports as not found, sorted, each once."""
    lines = (line.split() for line in output.splitlines() if "=> not found" in line)
    return sorted({words[0] for words in lines})


def missing_libraries(python: Path) -> list[str]:
    """Return the system libraries that the installed Qt wants and does not find, in one pass.

    An import would name only the first one that lacks; `ldd` names them all.
    """
    where = "import importlib.util as u; print(u.find_spec('PySide6').submodule_search_locations[0])"
    found = subprocess.run([str(python), "-c", where], capture_output=True, text=True, check=False)
    folder = Path(found.stdout.strip())
    files = [folder / f"{module}.abi3.so" for module in QT_MODULES]
    files += [folder / "Qt" / "plugins" / plugin for plugin in QT_PLUGINS]
    present = [str(file) for file in files if file.is_file()]
    environment = os.environ | {"LC_ALL": "C"}
    listing = subprocess.run(["ldd", *present], capture_output=True, text=True, env=environment, check=False)
    return read_ldd(listing.stdout)


def missing_tools(which: Callable[[str], str | None]) -> list[str]:
    """Return the packages of the test tools that `which` does not find."""
    return [package for program, package in TEST_TOOLS.items() if which(program) is None]


def apt_prefix() -> list[str] | None:
    """Return how apt-get may be called here without asking anybody, or None when it may not."""
    if shutil.which("apt-get") is None:
        return None
    if os.geteuid() == 0:
        return []
    sudo = shutil.which("sudo")
    if sudo and subprocess.run([sudo, "-n", "true"], capture_output=True, check=False).returncode == 0:
        return [sudo, "-n"]
    return None


def advice(packages: Sequence[str]) -> str:
    """Return what a person has to do to get these packages."""
    names = " ".join(packages)
    if shutil.which("apt-get"):
        what, line = "run this line", f"sudo apt-get update && sudo apt-get install -y {names}"
    else:
        what, line = "install what your system calls these Debian packages", names
    return f"Please {what}, then start this script again:\n    {line}"


def install_system_packages(packages: Sequence[str]) -> str:
    """Install Debian packages; return an empty string, or what the person has to do instead."""
    prefix = apt_prefix()
    if prefix is None:
        return advice(packages)
    apt = [*prefix, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-q", "-o", "DPkg::Lock::Timeout=300"]
    for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        print(f"apt-get {' '.join(words)} …", flush=True)
        done = subprocess.run([*apt, *words], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)
        if done.returncode:
            return f"apt-get {words[0]} failed:\n{done.stderr.strip()[-800:]}\n{advice(packages)}"
    return ""
