"""Every shipped vehicle form on the wall: a glove in the middle of any zone reaches it."""

from pathlib import Path

import pytest

from bayapp.files.library import Library
from bayapp.job.model.ids import JobId
from bayapp.pages.wanted import WhichZone
from tests.drawing.support.shipped import NAMES
from tests.pages.bays import hand_bay
from tests.screen.walls import walled

WIPED = """\
format = "bayapp-job/1"
title = "Wiped"
vehicle = "{name}"
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["exterior"]
recipe = "wiped"
[[recipe.wiped.step]]
id = "wipe"
kind = "wipe"
"""


@pytest.mark.parametrize("name", NAMES)
def test_every_zone_of_the_exterior_answers_a_touch_at_its_middle(name: str, tmp_path: Path):
    """Alone where it is large, in the picker among its neighbours where it is small, by its own name."""
    file = tmp_path / "job.toml"
    file.write_text(WIPED.format(name=name), encoding="utf-8")
    with hand_bay(tmp_path / "store", cars=0) as hand:
        hand.bay.open_job(job := Library().load_job(file, "car"))
        with walled(hand) as wall:
            wanted, deaf = list[str](), list[str]()
            wall.wall.pages.wanted.connect(
                lambda asked: wanted.extend(asked.zones if isinstance(asked, WhichZone) else ())
            )
            for zone in hand.bay.state.jobs[JobId("car")].zones:
                wanted.clear()
                wall.touch(zone)
                title = job.zone_names[zone].capitalize()
                if zone not in (wanted or wall.wall.selection.zones) or (wanted and title not in wall.choices()):
                    deaf.append(zone)
                wall.wall.pages.show_board()
            assert deaf == []
