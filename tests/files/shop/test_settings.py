"""The settings of a shop: what may stand in them, what is said when it is wrong, and that saving loses nothing."""

import subprocess
import sys
import tomllib
from datetime import time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.problems import BadFile
from bayapp.files.shop.hours import DAY_ENDS, WorkingHours, parse_hours
from bayapp.files.shop.key_settings import KeyAction, KeySettings
from bayapp.files.shop.settings import Settings, load_settings, save_settings
from bayapp.job.model.ids import Person, StepKind
from bayapp.text.readable import fault_in

WRITTEN = """# our shop
format = "bayapp-settings/1"
theme = "light"   # the gate is open all day

# the big one from the sale
screen_diagonal_inch = 43
hours = [
    "08:00-12:30",  # with the post at ten
    "13:00-18:00",
]

[cannot]
# Bo is new
Bo = ["polish"]
"""
BO, ASH = Person("Bo"), Person("Ash")


def loaded(store: Path, text: str) -> Settings:
    (store / "settings.toml").write_text(text, encoding="utf-8")
    return load_settings(store)


def test_hours_and_who_does_what_are_read_as_values(tmp_path: Path):
    settings = loaded(tmp_path, WRITTEN)
    assert settings.hours == (WorkingHours(time(8), time(12, 30)), WorkingHours(time(13), time(18)))
    assert [(h.begins, h.ends) for h in settings.hours] == [(time(8), time(12, 30)), (time(13), time(18))]
    assert settings.cannot == {"Bo": (StepKind.POLISH,)}


def test_left_out_work_is_done_at_any_time_and_by_everybody(tmp_path: Path):
    assert (load_settings(tmp_path).hours, load_settings(tmp_path).cannot) == ((), {})


def test_the_end_of_the_day_is_24_00():
    late = parse_hours("22:00-24:00")
    assert (late.begins, late.ends, str(late)) == (time(22), DAY_ENDS, "22:00-24:00")
    assert parse_hours("00:00-24:00").ends > parse_hours("00:00-23:59").ends


@pytest.mark.parametrize(
    ("text", "place", "reason"),
    [
        ('hours = "08:00-12:00"', "line 1, hours", "is not a list; write hours in square brackets"),
        ('hours = ["8:00-12:00"]', "line 1, hours 1", "'8:00-12:00' is no stretch of the day; write '08:00-12:00'"),
        ('hours = ["8 to 17"]', "line 1, hours 1", "write '08:00-17:00'"),
        ('hours = ["08:00\u201312:00"]', "line 1, hours 1", "write '08:00-12:00'"),
        ("hours = [8]", "line 1, hours 1", "8 is no stretch of the day; write e.g. '08:00-12:30'"),
        ('hours = ["all day"]', "line 1, hours 1", "write e.g. '08:00-12:30'"),
        ('hours = ["08:00-25:00"]', "line 1, hours 1", "'25:00' is no time of day; write 00:00 to 23:59, or 24:00"),
        ('hours = ["08:60-09:00"]', "line 1, hours 1", "'08:60' is no time of day"),
        ('hours = ["08:00-24:01"]', "line 1, hours 1", "'24:01' is no time of day"),
        ('hours = ["12:00-08:00"]', "line 1, hours 1", "write '08:00-12:00', or for work past midnight write two"),
        ('hours = ["22:00-00:00"]', "line 1, hours 1", "write '22:00-24:00'"),
        ('hours = ["08:00-08:00"]', "line 1, hours 1", "'08:00-08:00' is no time at all"),
        ('hours = ["24:00-24:00"]', "line 1, hours 1", "'24:00-24:00' is no time at all"),
        ('hours = ["13:00-18:00", "08:00-12:00"]', "line 1, hours", "write the earlier one first"),
        (
            'hours = ["08:00-12:30", "12:00-18:00"]',
            "line 1, hours",
            "'12:00-18:00' and '08:00-12:30' overlap; write '08:00-18:00' for both",
        ),
        ('cannot = ["polish"]', "line 1, cannot", "is not a table; write [cannot]"),
        ('[cannot]\nBo = "polish"', "line 2, cannot.Bo", "is not a list; write Bo in square brackets"),
        ('[cannot]\nBo = ["polishing"]', "line 2, cannot.Bo 1", "did you mean 'polish'?"),
        ('[cannot]\nBo = ["coat", "coat"]', "line 2, cannot.Bo", "'coat' stands twice; leave one out"),
        ('[cannot]\n"" = ["coat"]', "line 2", "is empty; write at least 1 letter"),
        ('hour = ["08:00-12:00"]', "line 1, hour", "did you mean 'hours'?"),
    ],
)
def test_what_is_wrong_is_reported_with_its_place_and_what_would_be_right(
    tmp_path: Path, text: str, place: str, reason: str
):
    with pytest.raises(BadFile) as bad:
        loaded(tmp_path, text)
    (found,) = bad.value.findings
    assert found.file == str(tmp_path / "settings.toml")
    assert found.place.startswith(place)
    assert reason in found.reason


def test_stretches_may_touch(tmp_path: Path):
    assert len(loaded(tmp_path, 'hours = ["08:00-12:00", "12:00-18:00"]').hours) == 2


MINUTES = st.integers(0, 24 * 60)


def of_day(minutes: int) -> time:
    return DAY_ENDS if minutes == 24 * 60 else time(minutes // 60, minutes % 60)


@st.composite
def stretches(draw: st.DrawFn) -> tuple[WorkingHours, ...]:
    edges = sorted(draw(st.sets(MINUTES, max_size=8)))
    pairs = zip(edges[::2], edges[1::2], strict=False)
    return tuple(WorkingHours(of_day(begins), of_day(ends)) for begins, ends in pairs)


NAMES = st.text(min_size=1, max_size=12).filter(lambda text: text.strip() and not fault_in(text))
KINDS = st.lists(st.sampled_from(StepKind), unique=True, min_size=1).map(tuple)
SETTINGS = st.builds(
    Settings,
    screen_diagonal_inch=st.none() | st.floats(7, 100),
    theme=st.sampled_from(["dark", "light"]),
    volume=st.floats(0, 1),
    spoken=st.booleans(),
    hours=stretches(),
    cannot=st.dictionaries(NAMES.map(str.strip).map(Person), KINDS, max_size=4),
    reading_distance_m=st.floats(1, 10),
    letters=st.floats(1, 2),
    backups=st.none() | NAMES,
    key_long_seconds=st.floats(0.3, 2.5),
    keys=st.dictionaries(
        NAMES.map(str.strip),
        st.builds(
            KeySettings,
            press=st.sampled_from(KeyAction),
            long=st.none() | st.sampled_from(KeyAction),
            double=st.none() | st.sampled_from(KeyAction),
        ),
        max_size=4,
    ),
)


@given(hours=stretches())
def test_every_stretch_is_read_back_as_it_was_written(hours: tuple[WorkingHours, ...]):
    for one in hours:
        assert parse_hours(str(one)) == one
        last = timedelta(hours=24) if one.ends == DAY_ENDS else timedelta(hours=one.ends.hour, minutes=one.ends.minute)
        assert last > timedelta(hours=one.begins.hour, minutes=one.begins.minute)


@given(before=st.none() | SETTINGS, after=SETTINGS)
def test_what_is_saved_is_read_back_whatever_stood_there(before: Settings | None, after: Settings):
    with TemporaryDirectory() as folder:
        store = Path(folder)
        if before:
            save_settings(store, before)
        save_settings(store, after)
        assert load_settings(store) == after
        assert [path.name for path in store.iterdir()] == ["settings.toml"]


@given(after=SETTINGS)
def test_comments_and_order_outlive_every_saving(after: Settings):
    with TemporaryDirectory() as folder:
        store = Path(folder)
        loaded(store, WRITTEN)
        save_settings(store, after)
        text = (store / "settings.toml").read_text(encoding="utf-8")
        assert load_settings(store) == after
        assert text.startswith("# our shop\n")
        assert "# the big one from the sale" in text
        assert "# the gate is open all day" in text
        if after.cannot:
            assert "# Bo is new" in text
        kept = [key for key in tomllib.loads(WRITTEN) if key in tomllib.loads(text)]
        assert [key for key in tomllib.loads(text) if key in kept] == kept


def test_saving_what_stands_there_changes_nothing_but_adds_what_was_left_to_its_usual_value(tmp_path: Path):
    settings = loaded(tmp_path, WRITTEN)
    save_settings(tmp_path, settings)
    once = (tmp_path / "settings.toml").read_text(encoding="utf-8")
    now, before = once.splitlines(), WRITTEN.splitlines()
    assert [line for line in now if line not in before] == [
        "volume = 1.0",
        "spoken = false",
        'names = "full"',
        "dew_margin_c = 3.0",
        "bay_mixing_k = 3.0",
        "thin_um = 80.0",
        "unlike_um = 50.0",
        "repaint_days = 30",
        "final_check = true",
        'temperatures = "c"',
        'volumes = "ml"',
        'day_clock = "24h"',
        "reading_distance_m = 3.0",
        'first_start = "done"',
        "letters = 1.0",
        "backups_kept = 30",
        "key_long_seconds = 0.8",
        "key_twice_seconds = 0.4",
    ]
    assert [line for line in before if line not in now] == []
    save_settings(tmp_path, settings)
    assert (tmp_path / "settings.toml").read_text(encoding="utf-8") == once


@pytest.mark.parametrize(
    "text",
    ['cannot = { Bo = ["polish"] }\n', 'cannot.Bo = ["polish"]\n', '[cannot]\nBo = ["polish"]\n', "\ufeff# mark\n"],
)
def test_however_a_person_wrote_the_table_another_is_saved(tmp_path: Path, text: str):
    settings = loaded(tmp_path, text).model_copy(update={"cannot": {ASH: (StepKind.WIPE,)}, "theme": "light"})
    save_settings(tmp_path, settings)
    assert load_settings(tmp_path) == settings


def test_lines_that_end_as_on_another_system_stay_so(tmp_path: Path):
    path = tmp_path / "settings.toml"
    path.write_bytes(WRITTEN.replace("\n", "\r\n").encode())
    save_settings(tmp_path, load_settings(tmp_path).model_copy(update={"theme": "dark"}))
    assert path.read_bytes().count(b'theme = "dark"   # the gate is open all day\r\n') == 1
    assert load_settings(tmp_path).theme == "dark"


def test_a_file_that_is_not_toml_is_never_written_over(tmp_path: Path):
    path = tmp_path / "settings.toml"
    path.write_text('theme = "lig', encoding="utf-8")
    with pytest.raises(BadFile):
        save_settings(tmp_path, Settings())
    assert path.read_text(encoding="utf-8") == 'theme = "lig'
    assert [p.name for p in tmp_path.iterdir()] == ["settings.toml"]


def test_reading_settings_loads_no_library_for_writing_them():
    program = "import sys, bayapp.files.shop.settings; print('tomlkit' in sys.modules)"
    assert subprocess.check_output([sys.executable, "-c", program], text=True).strip() == "False"


def test_the_bay_may_be_described(tmp_path: Path):
    (tmp_path / "settings.toml").write_text(
        'format = "bayapp-settings/1"\ndew_margin_c = 4\nbay_m3 = 180\nbay_air_changes = 2.5\nbay_mixing_k = 4\n'
    )
    settings = load_settings(tmp_path)
    assert (settings.dew_margin_c, settings.bay_m3, settings.bay_air_changes, settings.bay_mixing_k) == (4, 180, 2.5, 4)


@pytest.mark.parametrize("line", ["dew_margin_c = -1", "bay_m3 = 0", "bay_air_changes = -1", "bay_mixing_k = 0.5"])
def test_a_bay_that_cannot_be_is_refused(tmp_path: Path, line: str):
    (tmp_path / "settings.toml").write_text(f'format = "bayapp-settings/1"\n{line}\n')
    with pytest.raises(BadFile, match=line.split(" ", maxsplit=1)[0]):
        load_settings(tmp_path)


def test_sensors_that_nobody_changed_are_left_as_they_were_written(tmp_path: Path):
    written = '[[sensor]]\nid = "hall"\nname = "hall sensor"\nkind = "iio"\ndevice = "bme280"  # by the door\n'
    settings = loaded(tmp_path, written)
    save_settings(tmp_path, settings.model_copy(update={"theme": "light"}))
    assert load_settings(tmp_path) == settings.model_copy(update={"theme": "light"})
    assert written in (tmp_path / "settings.toml").read_text(encoding="utf-8")
