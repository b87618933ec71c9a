"""OR-Tools and numpy are big and slow to load: nothing but a search loads them."""

import subprocess
import sys

import pytest

LOOK = "; import sys; print(sorted(n for n in sys.modules if n in ('ortools', 'ortools.sat', 'numpy', 'pandas')))"


def modules_after(code: str) -> str:
    done = subprocess.run([sys.executable, "-c", code + LOOK], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()[-1]


@pytest.mark.parametrize("code", ["import bayapp.planning", "import bayapp.bay", "import bayapp.screen.app",
                                  "import bayapp.planning.relaxation, bayapp.planning.work"])  # fmt: skip
def test_neither_the_planners_door_nor_the_screen_loads_the_search(code: str):
    assert modules_after(code) == "[]"


def test_a_first_answer_needs_no_search_either():
    code = (
        "from bayapp.planning import Problem, Task; from bayapp.planning.heuristic.list_scheduling import list_schedule"
    )
    assert modules_after(code + "; assert list_schedule(Problem((Task('a', 5),))).makespan_s == 5") == "[]"


def test_a_search_does_load_it():
    code = "from bayapp.planning import Problem, Task, solve; assert solve(Problem((Task('a', 5),))).makespan_s == 5"
    assert modules_after(code) == "['numpy', 'ortools', 'ortools.sat']", "and no pandas, which OR-Tools can do without"
