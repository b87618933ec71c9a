"""What a program and the processes that it begins take of the processor and of memory, as Linux tells it."""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]
TICKS = os.sysconf("SC_CLK_TCK")


def processor_s(process: int) -> float:
    """Return what a process has used of the processor so far, from /proc (proc_pid_stat(5), fields 14 and 15)."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS


def resident_mb(process: int) -> float:
    """Return the resident memory, the part of it that is shared with others included (VmRSS)."""
    (line,) = (x for x in Path(f"/proc/{process}/status").read_text().splitlines() if x.startswith("VmRSS:"))
    return int(line.split()[1]) / 1024


def proportional_mb(processes: list[int]) -> float:
    """Return the memory of processes with what they share among all processes counted once (Pss)."""
    rows = [line for p in processes for line in Path(f"/proc/{p}/smaps_rollup").read_text().splitlines()]
    return sum(int(row.split()[1]) for row in rows if row.startswith("Pss:")) / 1024


def together_mb(processes: Sequence[int]) -> dict[int, float]:
    """Return what each of these processes adds to what those before it take, whatever else the machine runs.

    Pages of their own count in full, pages that a fork shares in equal parts (Pss_Dirty of proc_pid_smaps(5), of
    Linux 6 and later), and those of a file once, for the one that has most of them loaded.
    """
    files: Counter[str] = Counter()
    found = {}
    for process in processes:
        own, where = 0, ""
        for line in Path(f"/proc/{process}/smaps").read_text().splitlines():
            words = line.split()
            if not words[0].endswith(":"):  # the head of a mapping: place, rights, offset, device, number, name
                shared, where = words[1].endswith("s"), " ".join(words[2:])
                loaded = Counter[str]()
            else:
                loaded[words[0]] = int(words[1]) if words[-1] == "kB" else 0
            if words[0] == "VmFlags:":
                own += 0 if shared else loaded["Pss_Dirty:"]
                clean = loaded["Rss:"] if shared else loaded["Private_Clean:"] + loaded["Shared_Clean:"]
                own += max(0, clean - files[where])
                files[where] = max(files[where], clean)
        found[process] = own / 1024
    return found


def descendants(process: int) -> list[int]:
    """Return the processes that a process has begun, and those that they have: sound, planner, search."""
    try:
        children = [int(n) for n in Path(f"/proc/{process}/task/{process}/children").read_text().split()]
    except FileNotFoundError:
        return []
    return [found for child in children for found in (child, *descendants(child))]


@contextmanager
def running(environment: Mapping[str, str], *words: str) -> Iterator[int]:
    """Run a program; the caller watches it by its number."""
    with subprocess.Popen([sys.executable, *words], cwd=ROOT, env=environment, stderr=subprocess.DEVNULL) as process:
        try:
            yield process.pid
        finally:
            process.terminate()
