"""The least end where all long coats lie open in one stretch: what is done before it, and what after. Knows no task."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from ortools.sat.python import cp_model

MOST_S = 0.5
ROUNDING = 1e-6


@dataclass(frozen=True)
class Long:
    """In the stretch of long coats ``work_s`` of people is done not before ``wait_s``; ``more_s`` come after it."""

    wait_s: int
    work_s: int
    more_s: int


class BeforeLong:
    """Work of people, shared out between before and after the first stroke of the long coats; whole seconds.

    Every plan with such a stretch is one way to share it out, so that the soonest end of any way is a bound.

    Args:
        total_s: all work of people.
    """

    def __init__(self, hands: int, total_s: int, long: Long) -> None:
        self.hands, self.total = hands, total_s
        self.model = cp_model.CpModel()
        most = 4 * (total_s + long.wait_s + long.more_s) + 10**6
        self.before = self.model.new_int_var(0, most, "before")
        self.after = self.model.new_int_var(long.wait_s + -(-long.work_s // hands) + long.more_s, most, "after")
        self.open = self.model.new_int_var(0, most, "coats open before")
        self._done: list[cp_model.LinearExprT] = []
        self._coated: list[cp_model.LinearExprT] = []
        self._wiped: dict[int, list[cp_model.IntVar]] = defaultdict(list)
        self._begins = self._tool = self._by_hand = 0

    def tool(self, begins_s: int, lasts_s: int, work_s: int) -> None:
        """The tool works so long before, while no coat is open; it and coats begin no earlier than ``begins_s``."""
        self._begins, self._tool, self._by_hand = begins_s, lasts_s, work_s
        self.model.add(self.before >= begins_s + lasts_s + self.open)
        self._done.append(work_s)

    def short(self, lasts_s: int, work_s: int) -> cp_model.IntVar:
        """Return whether other coats lie open before; they do not while the tool works."""
        is_before = self.model.new_bool_var("short")
        self.model.add(self.open >= lasts_s * is_before)
        self._coated.append(work_s * is_before)
        return is_before

    def wiped(self, work_s: int, within_s: int, coated: cp_model.IntVar | None) -> None:
        """Something begins at most ``within_s`` before its coat: one that comes before, or (None) a long one."""
        late = self.model.new_int_var(0, work_s, "wiped in the window")
        self._wiped[within_s].append(late)
        self._done.append(late)
        if coated is not None:
            early = self.model.new_int_var(0, work_s, "wiped early")
            self.model.add(early <= work_s * coated)
            self.model.add(late <= work_s * (1 - coated))
            self._done.append(early)

    def beside(self, work_s: int, behind: Iterable[cp_model.IntVar]) -> None:
        """Something may be done at any time before, where these coats are behind it by then."""
        part = self.model.new_int_var(0, work_s, "beside")
        for coated in behind:
            self.model.add(part <= work_s * coated)
        self._done.append(part)

    def least(self) -> int:
        """Return the soonest end, or what has been proven of it in a short time; 0 where that is nothing."""
        coated, done = (self.model.new_int_var(0, 2 * self.total, name) for name in ("coated", "done"))
        self.model.add(coated == cp_model.LinearExpr.sum([*self._coated]))
        self.model.add(done == cp_model.LinearExpr.sum([*self._done, *self._coated]))
        self.model.add(coated <= self.hands * self.open)
        self.model.add(done <= self.hands * self.before)
        self.model.add(self.total - done <= self.hands * self.after)
        if self._by_hand >= self._tool:
            for within in self._wiped:
                if within <= self._tool:
                    self._last_moments(within, coated)
        self.model.minimize(self.before + self.after)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_time_in_seconds = MOST_S
        if solver.solve(self.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return 0
        return max(0, ceil(solver.best_objective_bound - ROUNDING))

    def _last_moments(self, within: int, coated: cp_model.IntVar) -> None:
        """What is wiped for a long coat before its first stroke is wiped in its window, beside tool and coats."""
        wiped = cp_model.LinearExpr.sum([late for w, lates in self._wiped.items() if w <= within for late in lates])
        tool = self.model.new_int_var(0, self._tool, "tool in the window")
        opened = self.model.new_int_var(0, within, "coats open in the window")
        work = self.model.new_int_var(0, self.total, "coated in the window")
        self.model.add(opened <= self.open)
        self.model.add(coated - work <= self.hands * (self.open - opened))
        self.model.add(self._tool - tool <= self.before - within - self._begins - (self.open - opened))
        self.model.add(wiped + tool + work <= self.hands * within)
