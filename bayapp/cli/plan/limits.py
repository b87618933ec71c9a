"""What the planner's processes may not do: outlive who asked them, and take all memory."""

import ctypes
import os
import signal
import sys

PR_SET_PDEATHSIG = 1
"""Of prctl(2)."""
MOST_BYTES = 1 << 30
"""Of memory of its own; the longest day that is shipped, 246 steps, takes 170 MB."""


def end_with_parent() -> None:
    """Have Linux kill this process once its parent is gone, also where it has been stopped meanwhile."""
    if sys.platform == "linux":
        parent = os.getppid()
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
        if os.getppid() != parent:  # it went just now
            os._exit(0)


def limit_memory() -> None:
    """Let this process have so much memory of its own and no more, so that the board keeps the rest."""
    if sys.platform == "linux":
        import resource

        resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, resource.getrlimit(resource.RLIMIT_DATA)[1]))
