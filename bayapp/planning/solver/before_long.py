"""The least end where all long coats lie open in one stretch: what is done before it, and what after."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil

from ortools.sat.python import cp_model

from bayapp.planning.solver.watching import new_solver

MOST_S = 0.5
ROUNDING = 1e-6
SHARES = 1000


@dataclass(frozen=True)
class Long:
    """In the stretch of long coats ``work_s`` of people is done not before ``wait_s``; ``more_s`` come after it.

    Attributes:
        first_s: work of people in the stretch before the wait of each long coat has begun.
        goes_on_s: how long a plan goes on at least after the last of that.
    """

    wait_s: int
    work_s: int
    more_s: int
    first_s: int = 0
    goes_on_s: int = 0


@dataclass(frozen=True)
class Wiped:
    """Something of ``work_s`` begins at most ``within_s`` before its coat.

    Attributes:
        work_s, coat_work_s: work of people; ``coat_s`` is how long the coat takes them.
        soon: what must begin within so long after the coat has begun: its work, within, and how long it takes.
        after_tool: the tool works on the same thing before.
    """

    work_s: int
    within_s: int
    coat_s: int = 0
    coat_work_s: int = 0
    soon: tuple[tuple[int, int, int], ...] = ()
    after_tool: bool = False


@dataclass
class _Share:
    """How much of something is wiped before the stretch: in all, and in the last so many seconds before it."""

    it: Wiped
    long: bool
    late: cp_model.IntVar
    last: list[tuple[int, cp_model.IntVar]] = field(default_factory=list)

    def most_in_the_last(self, seconds: int) -> cp_model.IntVar | None:
        """Return what is known to be wiped in the last so many seconds."""
        known = [(self.it.within_s, self.late), *self.last]
        return max(((s, v) for s, v in known if s <= seconds), key=lambda k: k[0], default=(0, None))[1]


class BeforeLong:
    """Work of people, shared out between before and after the beginning of the stretch of long coats; whole seconds.

    Every plan with such a stretch is one way to share it out, so that the soonest end of any way is a bound.

    Args:
        total_s: all work of people.
    """

    def __init__(self, hands: int, total_s: int, long: Long) -> None:
        self.hands, self.total, self.long = hands, total_s, long
        self.model = cp_model.CpModel()
        most = 4 * (total_s + long.wait_s + long.more_s) + 10**6
        self.before = self.model.new_int_var(0, most, "before")
        self.after = self.model.new_int_var(long.wait_s + -(-long.work_s // hands) + long.more_s, most, "after")
        self.open = self.model.new_int_var(0, most, "coats open before")
        self._done: list[cp_model.LinearExprT] = []
        self._coats: list[cp_model.LinearExprT] = []
        self._shares: list[_Share] = []
        self._begins = self._tool = self._by_hand = 0
        self._steps: dict[int, list[cp_model.LinearExprT]] = defaultdict(list)

    def tool(self, begins_s: int, lasts_s: int, work_s: int) -> None:
        """The tool works so long before, while no coat is open; it and coats begin no earlier than ``begins_s``."""
        self._begins, self._tool, self._by_hand = begins_s, lasts_s, work_s
        self.model.add(self.before >= begins_s + lasts_s + self.open)
        self._done.append(work_s)

    def short(self, lasts_s: int, work_s: int, step_s: int) -> cp_model.IntVar:
        """Return whether other coats lie open before; they do not while the tool works.

        Args:
            step_s: how long each piece of their work lasts is a multiple of this.
        """
        is_before = self.model.new_bool_var("short")
        self.model.add(self.open >= lasts_s * is_before)
        self._coats.append(work_s * is_before)
        if step_s:
            self._steps[step_s].append(work_s * is_before)
        return is_before

    def wiped(self, it: Wiped, coated: cp_model.IntVar | None) -> None:
        """Something is wiped for a coat: one that may come before, or (None) a long one."""
        late = self.model.new_int_var(0, it.work_s, "wiped in the window")
        self._shares.append(_Share(it, coated is None, late))
        self._done.append(late)
        if coated is not None:
            early = self.model.new_int_var(0, it.work_s, "wiped early")
            self.model.add(early <= it.work_s * coated)
            self.model.add(late <= it.work_s * (1 - coated))
            self._done.append(early)

    def beside(self, work_s: int, behind: Iterable[cp_model.IntVar]) -> None:
        """Something may be done at any time before, where these coats are behind it by then."""
        part = self.model.new_int_var(0, work_s, "beside")
        for coated in behind:
            self.model.add(part <= work_s * coated)
        self._done.append(part)

    def the_tool_is_last(self) -> None:
        """After each piece of the tool's work something is wiped: behind the last piece only what time is left for."""
        those = [share for share in self._shares if share.it.after_tool]
        left = self.before - self._begins - self._tool
        least = min(share.it.work_s for share in those)
        late = cp_model.LinearExpr.sum([share.late for share in those])
        self.model.add(late <= sum(share.it.work_s for share in those) - least + self.hands * left)

    def least(self) -> int:
        """Return the soonest end, or what has been proven of it in a short time; 0 where that is nothing."""
        coated, done = (self.model.new_int_var(0, 2 * self.total, name) for name in ("coated", "done"))
        self.model.add(coated == cp_model.LinearExpr.sum([*self._coats]))
        self.model.add(done == cp_model.LinearExpr.sum([*self._done, *self._coats]))
        self.model.add(coated <= self.hands * self.open)
        for step in self._steps:  # what one hand does while these coats lie open is whole pieces
            steps = self.model.new_int_var(0, 2 * self.total, "steps of one hand")
            self.model.add(steps * step <= self.open)
            whole = [work for other, those in self._steps.items() if other % step == 0 for work in those]
            self.model.add(cp_model.LinearExpr.sum(whole) <= self.hands * step * steps)
        self.model.add(done <= self.hands * self.before)
        self.model.add(self.total - done <= self.hands * self.after)
        self._first_pass()
        self._soon_coated()
        if self._by_hand >= self._tool:
            self._last_moments(coated)
        self.model.minimize(self.before + self.after)
        solver = new_solver(MOST_S, 1)
        solver.parameters.linearization_level = 2
        if solver.solve(self.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return 0
        return max(0, ceil(solver.best_objective_bound - ROUNDING))

    def _in_the_last(self, share: _Share, seconds: int) -> cp_model.IntVar:
        """Return how much of something is wiped in the last so many seconds before the stretch."""
        part = self.model.new_int_var(0, share.it.work_s, "wiped in the last moments")
        self.model.add(part <= share.late)
        share.last.append((seconds, part))
        return part

    def _first_pass(self) -> None:
        """Before the last long coat begins to wait, all of them and what is wiped for them are done, and others.

        Others that were wiped for another coat have been coated by then if their window is over, so all but those that
        were wiped in the last moments before the stretch.
        """
        first = self.model.new_int_var(0, 4 * self.total, "first pass")
        self.model.add(self.after >= first + self.long.goes_on_s)
        least = -(-self.long.first_s // self.hands)
        needed = [SHARES * (share.it.work_s - share.late) for share in self._shares if share.long]
        by_window: dict[int, list[_Share]] = defaultdict(list)
        for share in self._shares:
            if not share.long and share.it.work_s:
                by_window[share.it.within_s + share.it.coat_s].append(share)
        for over, those in by_window.items():
            moments = self.model.new_int_var(0, max(0, over - least), "last moments")
            all_over = self.model.new_bool_var("all windows end before the first pass")
            self.model.add(moments == 0).only_enforce_if(all_over)
            self.model.add(first <= over).only_enforce_if(all_over.negated())
            self.model.add(moments <= over - first).only_enforce_if(all_over.negated())
            spared = [self._in_the_last(share, max(0, over - least)) for share in those]
            self.model.add(cp_model.LinearExpr.sum(spared) <= self.hands * moments)
            needed += [_shares_of(share.it) * (share.late - part) for share, part in zip(those, spared, strict=True)]
        self.model.add(SHARES * self.hands * first >= SHARES * self.long.first_s + cp_model.LinearExpr.sum(needed))

    def _soon_coated(self) -> None:
        """What was wiped early is coated early: as the window of what was wiped first for a long coat ends, most coats
        have begun, and what must come soon after the first of them.
        """
        those = [share for share in self._shares if share.it.work_s]
        windows = [share.it.within_s for share in those if share.long]
        if not windows:
            return
        moment = min(windows) - min(share.it.work_s for share in those if share.long)
        needed, longest = [], 0
        for share in those:
            it = share.it
            early = share.late - self._in_the_last(share, max(0, it.within_s - moment))
            needed.append(_shares_of(it) * early)
            longest = max(longest, it.coat_s)
            for work_s, within_s, lasts_s in it.soon:
                early = share.late - self._in_the_last(share, max(0, it.within_s - moment + within_s))
                needed.append((SHARES * work_s // it.work_s) * early)
                longest = max(longest, lasts_s)
        self.model.add(SHARES * self.hands * (moment + longest) >= cp_model.LinearExpr.sum(needed))

    def _last_moments(self, coated: cp_model.IntVar) -> None:
        """What is wiped in the last moments before the stretch is wiped beside the tool and other coats."""
        limits = {s for share in self._shares for s in (share.it.within_s, *(s for s, _ in share.last))}
        for share in self._shares:
            for (_, less), (_, more) in pairwise(sorted(share.last, key=lambda known: known[0])):
                self.model.add(less <= more)
        for within in sorted(limits):
            if within > self._tool:
                continue
            parts = [share.most_in_the_last(within) for share in self._shares]
            wiped = cp_model.LinearExpr.sum([part for part in parts if part is not None])
            tool = self.model.new_int_var(0, self._tool, "tool in the window")
            opened = self.model.new_int_var(0, within, "coats open in the window")
            work = self.model.new_int_var(0, self.total, "coated in the window")
            self.model.add(opened <= self.open)
            self.model.add(coated - work <= self.hands * (self.open - opened))
            self.model.add(self._tool - tool <= self.before - within - self._begins - (self.open - opened))
            self.model.add(wiped + tool + work <= self.hands * within)


def _shares_of(it: Wiped) -> int:
    """Return how much work the coat is for each second of wiping, in ``SHARES``, rounded down."""
    return SHARES * it.coat_work_s // it.work_s
