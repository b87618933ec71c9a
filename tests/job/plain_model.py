"""The rules of waiting once more, in lists and whole milliseconds, to hold the gate against. Shares no code with it."""

from copy import deepcopy
from typing import Any

MINUTE = 60_000

# Each step: name, what it is, and its wait: least, most, whether most counts from the first stroke, whether the wait
# counts from the whole block, and what a lapse costs. The recipes in test_machine say the same in the program's words.
PANEL: list[dict[str, Any]] = [
    {"name": "polish", "dusty": True},
    {"name": "wipe"},
    {"name": "coat-1", "coat": True, "most": 3 * MINUTE, "cost": "wipe"},
    {"name": "coat-2", "coat": True, "least": MINUTE, "most": 4 * MINUTE, "cost": "repeat"},
    {"name": "level", "block": True, "least": MINUTE // 2, "most": 3 * MINUTE, "cost": "polish"},
]
RIM: list[dict[str, Any]] = [
    {"name": "decontaminate", "wet": True},
    {"name": "coat", "coat": True, "least": MINUTE // 4},
    {"name": "buff", "least": MINUTE, "most": 2 * MINUTE, "from_start": True, "cost": None},
]
LADDERS = {"roof": PANEL, "bonnet": PANEL, "left-rim": RIM}
BLOCKS = {"roof": ("roof", "bonnet"), "bonnet": ("roof", "bonnet"), "left-rim": ("left-rim",)}
LAST_COVERING = {"roof": 4, "bonnet": 4, "left-rim": 2}
KEEP_DRY = 6 * MINUTE
DUST_FREE = {"roof": 0, "bonnet": 0, "left-rim": 2 * MINUTE}
"""How long after its last levelling or buffing dust still sticks to a coat."""
REWORK = 0
"""Where the rim, whose missed buff has no rung to fall to, is begun again: it has neither a polish nor a wipe."""
HARD_AIR = {"left-rim"}
"""Zones whose recipe refuses a coat without a fresh reading."""


class Zone:
    """``runs`` and ``rungs`` hold [place, start, end]; ``busy`` is [place, start, who, touch] while work is under way.

    ``skips`` are zones that came back after the wait that runs now had begun without them, ``alone`` those that it was
    closed without, ``cover`` whether the coat is covered, ``spoilt`` by which step, begun when, its wipe was.
    """

    def __init__(self) -> None:
        self.runs: list[list[int]] = []
        self.rungs: list[list[int]] = []
        self.busy: list[Any] | None = None
        self.costs: list[tuple[int, int]] = []
        self.skips: list[str] = []
        self.alone: list[str] = []
        self.cover = False
        self.spoilt: tuple[str, int] | None = None
        self.past: list[dict[str, Any]] = []

    def remember(self) -> None:
        self.past.append(deepcopy({k: v for k, v in vars(self).items() if k != "past"}))


class Model:
    def __init__(self) -> None:
        self.zones = {name: Zone() for name in LADDERS}
        self.air: tuple[int, bool] | None = None
        self.away: list[str] = []
        self.touches = 0

    def place(self, zone: str, step: str) -> int:
        """The step's place on the ladder; -1 where the zone has no such step."""
        return next((i for i, s in enumerate(LADDERS[zone]) if s["name"] == step), -1)

    def window(self, zone: str, place: int, fallen: bool = False) -> tuple[int, int | None] | str | None:
        """Opens and lapses; "others" while what it counts from has not happened; None without a wait.

        ``fallen``: the zone has stepped back since its set was closed, so that everybody counts again.
        """
        rule = LADDERS[zone][place]
        if not {"least", "most"} & rule.keys():
            return None
        anchors = []
        for other in BLOCKS[zone] if rule.get("block") else (zone,):
            gone = [*self.away, *self.zones[zone].skips, *([] if fallen else self.zones[zone].alone)]
            if other != zone and other in gone:
                continue
            done = [run for run in self.zones[other].runs if run[0] == place - 1]
            if not done:
                return "others"
            anchors.append(done[-1] if other == zone else done[0])
        _, begun, ended = max(anchors, key=lambda run: run[2])
        most = rule.get("most")
        latest = None if most is None else (begun if rule.get("from_start") else ended) + most
        return ended + rule.get("least", 0), latest

    def fall(self, zone: str, now: int) -> tuple[list[list[int]], list[tuple[int, int, list[list[int]]]], bool]:
        """What still counts as done, each lapse with what stood until then, and whether a person must look."""
        rungs = list(self.zones[zone].rungs)
        lapses: list[tuple[int, int, list[list[int]]]] = []
        while True:
            due = rungs[-1][0] + 1 if rungs else 0
            window = self.window(zone, due, fallen=bool(lapses)) if due < len(LADDERS[zone]) else None
            if not isinstance(window, tuple) or window[1] is None or now <= window[1]:
                return rungs, lapses, False
            lapses.append((due, window[1], rungs))
            cost = LADDERS[zone][due]["cost"]
            if cost is None:
                return rungs, lapses, True
            back = due - 1 if cost == "repeat" else self.place(zone, cost)
            rungs = [rung for rung in rungs if rung[0] < back]

    def fresh(self, zone: str, now: int) -> bool:
        return not self.zones[zone].cover and self.lies_fresh(zone, now)

    def lies_fresh(self, zone: str, now: int) -> bool:
        it, ladder = self.zones[zone], LADDERS[zone]
        if it.busy and ladder[it.busy[0]].get("coat"):
            return True
        if not it.busy and self.fall(zone, now)[2]:
            return False  # too late to be levelled: dust harms it no more
        rungs = it.rungs if it.busy else self.fall(zone, now)[0]
        if not any(ladder[rung[0]].get("coat") for rung in rungs):
            return False
        levelled = [rung[2] for rung in rungs if rung[0] == LAST_COVERING[zone]]
        return not levelled or now < levelled[-1] + DUST_FREE[zone]

    def dry_until(self, zone: str) -> int:
        it = self.zones[zone]
        whole = it.rungs and not it.busy and it.rungs[-1][0] == len(LADDERS[zone]) - 1
        return it.rungs[-1][2] + KEEP_DRY if whole else 0

    def ladder_says(self, zone: str, step: str, now: int) -> str | None:
        if zone in self.away:
            return "order"
        if self.zones[zone].busy:
            return "busy"
        place, (rungs, lapses, held) = self.place(zone, step), self.fall(zone, now)
        if held and rungs and place == REWORK:
            return None
        due = rungs[-1][0] + 1 if rungs else 0
        if (place != due or held) and place in [lapse[0] for lapse in lapses]:
            return "late"
        if place != due:
            return "done" if place in [r[0] for r in rungs] else "order"
        window = self.window(zone, due, fallen=bool(lapses))
        if window == "others":
            return "order"
        return "early" if isinstance(window, tuple) and now < window[0] else None

    def bay_says(self, zones: tuple[str, ...], step: str, who: str, now: int) -> set[str]:
        place = self.place(zones[0], step)
        rule, found = LADDERS[zones[0]][place], set()
        others = [name for name in LADDERS if name not in zones]
        if any(self.elsewhere(name, who, self.touches + 1) for name in LADDERS):
            found.add("busy")
        if (rule.get("dusty") or rule.get("wet")) and any(self.fresh(o, now) for o in others):
            found.add("bay")
        if rule.get("wet") and any(now < self.dry_until(o) and not self.zones[o].cover for o in others):
            found.add("bay")
        makes = [kind for kind in ("dusty", "wet") if rule.get(kind)]
        found |= (
            {"bay"} if self.laid_bare(zones, now, [kind for kind in ("dusty", "wet") if kind not in makes]) else set()
        )
        if rule.get("coat"):
            at_dust = [o for o in others if (b := self.zones[o].busy) and LADDERS[o][b[0]].get("dusty")]
            found |= {"bay"} if at_dust else set()
            stale = self.air is None or now - self.air[0] > 30 * MINUTE
            unfit = self.air is not None and not self.air[1]
            found |= {"air"} if unfit or (stale and zones[0] in HARD_AIR) else set()
        return found

    def laid_bare(self, zones: tuple[str, ...], now: int, kinds: list[str]) -> bool:
        """Whether dust or water of another zone would reach a coat here, were the cover taken off."""
        covered = [zone for zone in zones if self.zones[zone].cover]
        fresh = any(self.lies_fresh(zone, now) for zone in covered)
        harmed = {"dusty": fresh, "wet": fresh or any(now < self.dry_until(zone) for zone in covered)}
        flying = [LADDERS[o][b[0]] for o in LADDERS if o not in zones and (b := self.zones[o].busy)]
        return any(harmed[kind] and step.get(kind) for kind in kinds for step in flying)

    def elsewhere(self, name: str, who: str, touch: int) -> bool:
        """Whether this person is at work on that zone by another touch; each touch has a number of its own."""
        busy = self.zones[name].busy
        return bool(busy and busy[2] == who and busy[3] != touch)

    def start(self, zones: tuple[str, ...], step: str, who: str, now: int, reason: bool, end: bool = False) -> set[str]:
        """Do it and return no codes, or change nothing and return every code of the refusal."""
        if any(self.place(zone, step) < 0 for zone in zones):
            return {"unknown"}
        own = {zone: self.ladder_says(zone, step, now) for zone in zones}
        found = {said for said in own.values() if said}
        final = "done" in found or any(self.zones[zone].busy or zone in self.away for zone in zones)
        found |= set() if final else self.bay_says(zones, step, who, now)
        if found and (final or not reason):
            return found
        self.touches += 1
        self.spoil(zones, step, now)
        for zone in zones:
            self.begin(zone, step, who, now)
            if end:
                self.end(zone, now, remember=False)
        return set()

    def spoil(self, zones: tuple[str, ...], step: str, now: int) -> None:
        """Dust and water spoil what is wiped elsewhere and not yet coated."""
        rule = LADDERS[zones[0]][self.place(zones[0], step)]
        for other, it in self.zones.items():
            if other in zones or it.busy or not it.rungs or not (rule.get("dusty") or rule.get("wet")):
                continue
            if self.ladder_rung(other, it.rungs[-1][0]) == "wipe" and self.fall(other, now)[0] == it.rungs:
                it.costs = [*it.costs, (it.rungs[-1][0] + 1, now)]
                it.rungs, it.spoilt = it.rungs[:-1], (step, now)

    def give_back(self) -> None:
        """What spoilt a wipe did not begin, after all: the wipe stands, unless something was done there since."""
        for it in self.zones.values():
            due = it.rungs[-1][0] + 1 if it.rungs else 0
            if it.spoilt is None or it.busy or not it.runs or it.runs[-1][0] != due or it.runs[-1] in it.rungs:
                continue
            begun = [
                (self.ladder_rung(name, run[0]), run[1])
                for name, z in self.zones.items()
                for run in (*z.runs, *([z.busy] if z.busy else []))
            ]
            if it.spoilt not in begun and it.costs[-1] == (due + 1, it.spoilt[1]):
                it.rungs, it.costs, it.spoilt = [*it.rungs, it.runs[-1]], it.costs[:-1], None

    @staticmethod
    def ladder_rung(zone: str, place: int) -> str:
        return str(LADDERS[zone][place]["name"])

    def begin(self, zone: str, step: str, who: str, now: int) -> None:
        it, place = self.zones[zone], self.place(zone, step)
        rungs, lapses, held = self.fall(zone, now)
        it.remember()
        rungs = [] if held and place == REWORK else rungs
        ignored = next((i for i, lapse in enumerate(lapses) if lapse[0] == place), None)
        due = rungs[-1][0] + 1 if rungs else 0
        if ignored is not None and (place != due or held):
            rungs, lapses = lapses[ignored][2], lapses[: ignored + 1]
        it.costs += [(lapse[0], lapse[1]) for lapse in lapses]
        it.rungs = [rung for rung in rungs if rung[0] <= place]
        it.busy, it.skips, it.alone, it.cover = [place, now, who, self.touches], [], [], False

    def end(self, zone: str, now: int, remember: bool = True) -> None:
        it = self.zones[zone]
        assert it.busy
        if remember:
            it.remember()
        done = [it.busy[0], it.busy[1], now]
        it.runs, it.rungs, it.busy = [*it.runs, done], [*it.rungs, done], None

    def finish(self, zones: tuple[str, ...], step: str, who: str, now: int, reason: bool) -> set[str]:
        if any(self.place(zone, step) < 0 for zone in zones):
            return {"unknown"}
        at_work = [zone for zone in zones if self.zones[zone].busy]
        if any((b := self.zones[z].busy) and b[0] != self.place(z, step) for z in at_work):
            return {"order"}
        kept = deepcopy(self.zones)
        for zone in at_work:
            self.end(zone, now)
        idle = tuple(zone for zone in zones if zone not in at_work)
        found = self.start(idle, step, who, now, reason, end=True) if idle else set()
        if found:
            self.zones = kept
        return found

    def undo(self, zones: tuple[str, ...], now: int) -> set[str]:
        if any(not self.zones[zone].past for zone in zones):
            return {"order"}
        kept = deepcopy(self.zones)
        for zone in zones:
            it = self.zones[zone]
            same_wait = not it.busy and not it.past[-1]["busy"] and len(it.runs) == len(it.past[-1]["runs"])
            skips = it.skips if same_wait else it.past[-1]["skips"]
            vars(it).update(it.past.pop() | {"skips": skips})
        bare = tuple(zone for zone in zones if kept[zone].cover and not self.zones[zone].cover)
        after, self.zones = self.zones, kept
        found = {"bay"} if self.laid_bare(bare, now, ["dusty", "wet"]) else set()
        self.zones = after
        for zone in zones:
            busy = self.zones[zone].busy
            again = busy and not kept[zone].busy
            found |= {"order"} if again and zone in self.away else set()
            if again and busy and any(self.elsewhere(other, busy[2], busy[3]) for other in LADDERS):
                found.add("busy")
        self.zones = kept if found else self.zones
        if not found:
            self.give_back()
        return found

    def cover(self, zones: tuple[str, ...], now: int) -> set[str]:
        found = set()
        for zone in zones:
            it = self.zones[zone]
            if it.busy:
                found.add("busy")
            elif it.cover:
                found.add("done")
            elif not self.lies_fresh(zone, now) and now >= self.dry_until(zone):
                found.add("order")
        for zone in () if found else zones:
            self.zones[zone].remember()
            self.zones[zone].cover = True
        return found

    def uncover(self, zones: tuple[str, ...], now: int) -> set[str]:
        if any(not self.zones[zone].cover for zone in zones):
            return {"done"}
        if self.laid_bare(zones, now, ["dusty", "wet"]):
            return {"bay"}
        for zone in zones:
            self.zones[zone].remember()
            self.zones[zone].cover = False
        return set()

    def close_set(self, zones: tuple[str, ...], now: int) -> set[str]:
        found = set()
        for zone in zones:
            it = self.zones[zone]
            if zone in self.away:
                found.add("order")
            elif it.busy:
                found.add("busy")
            else:
                found |= set() if self.waits_for_others(zone, now) else {"order"}
        for zone in () if found else zones:
            self.zones[zone].remember()
            self.zones[zone].alone = [other for other in BLOCKS[zone] if other != zone]
        return found

    def waits_for_others(self, zone: str, now: int) -> bool:
        """Whether only others keep the wait of what is due here from beginning."""
        rungs, lapses, _ = self.fall(zone, now)
        due = rungs[-1][0] + 1 if rungs else 0
        if due == len(LADDERS[zone]) or self.window(zone, due, fallen=bool(lapses)) != "others":
            return False
        return any(run[0] == due - 1 for run in self.zones[zone].runs)

    def set_aside(self, zones: tuple[str, ...]) -> set[str]:
        whole = [z for z in zones if self.zones[z].rungs and self.zones[z].rungs[-1][0] == len(LADDERS[z]) - 1]
        found = {"busy" for zone in zones if self.zones[zone].busy}
        found |= {"done" for zone in zones if zone in self.away or (zone in whole and not self.zones[zone].busy)}
        self.away += [] if found else zones
        return found

    def take_up(self, zones: tuple[str, ...]) -> set[str]:
        if any(zone not in self.away for zone in zones):
            return {"done"}
        for zone in zones:
            before = {name: self.running_out(name) for name in LADDERS if name != zone}
            self.away.remove(zone)
            for name, window in before.items():
                if window and window != self.running_out(name):
                    self.zones[name].skips.append(zone)
        return set()

    def running_out(self, zone: str) -> tuple[int, int | None] | None:
        """The window of what is due on a zone that is not worked, where it has a latest moment and has begun."""
        it = self.zones[zone]
        due = it.rungs[-1][0] + 1 if it.rungs else 0
        window = self.window(zone, due) if not it.busy and due < len(LADDERS[zone]) else None
        return window if isinstance(window, tuple) and window[1] is not None else None

    def handover(self) -> int | None:
        """From when the car may go; None while anything is waited for, or nothing is."""
        ends = []
        for zone, it in self.zones.items():
            polished = [run for run in it.runs if LADDERS[zone][run[0]]["name"] == "polish"]
            since = it.runs.index(polished[-1]) if polished else 0
            coated = any(LADDERS[zone][run[0]].get("coat") for run in it.runs[since:])
            if zone not in self.away or coated:
                ends.append(self.dry_until(zone))
        return max(ends) if ends and all(ends) else None

    def edges(self, now: int) -> list[int]:
        """Every moment ahead at which something changes, and the millisecond after it."""
        found = [self.air[0] + 30 * MINUTE] if self.air else []
        for zone, ladder in LADDERS.items():
            windows = [self.window(zone, place) for place in range(1, len(ladder))]
            found += [edge for w in windows if isinstance(w, tuple) for edge in w if edge is not None]
            found.append(self.dry_until(zone))
        return sorted({e + more for e in found for more in (-1, 0, 1) if e + more > now})
