"""What touches on the settings page make of the settings, and that whatever they make is saved and read back."""

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.shop.key_settings import Gesture, KeyAction
from bayapp.files.shop.settings import Settings, load_settings, save_settings
from bayapp.job.model.ids import Person
from bayapp.pages.settings.cells import Cell
from bayapp.pages.settings.hours import HourEdge, hour_moved, hours_cells, with_stretches
from bayapp.pages.settings.keys import learned
from bayapp.pages.settings.people_names import with_person
from bayapp.pages.settings.settings import Seen, Setting, bay_cells, moved, settings_cells, touched, word_cells

SEEN = Seen(27.0, "English", "none yet", bays="one, without a name")
COMMENTED = '# ours\ntheme = "light"  # the gate is open\n\n# from the sale\nscreen_diagonal_inch = 43\n'
SWAPS = (Setting.THEME, Setting.SPOKEN, Setting.TEMPERATURES, Setting.VOLUMES, Setting.DAY_CLOCK)
MOVES = (Setting.INCH, Setting.DISTANCE, Setting.VOLUME, *(HourEdge(n) for n in range(4)))
Touch = Callable[[Settings], Settings]


def move(key: Setting | HourEdge, way: int) -> Touch:
    """What - or + makes of the settings; an edge that is not shown cannot be touched."""

    def touch(now: Settings) -> Settings:
        if isinstance(key, Setting):
            return moved(now, key, way, 27.0)
        return hour_moved(now, key, way) if key in {cell.key for cell in hours_cells(now)} else now

    return touch


def teach(action: KeyAction) -> Touch:
    return lambda now: now.model_copy(update={"keys": learned(now.keys, ("F5", Gesture.LONG), action)})


TOUCH: st.SearchStrategy[Touch] = st.one_of(
    st.sampled_from(SWAPS).map(lambda setting: lambda now: touched(now, setting)),
    st.builds(move, st.sampled_from(MOVES), st.sampled_from([-1, 1])),
    st.integers(0, 2).map(lambda count: lambda now: with_stretches(now, count)),
    st.text(st.sampled_from("ABCXYZ"), min_size=1, max_size=5).map(lambda name: lambda now: with_person(now, name)),
    st.sampled_from(KeyAction).map(teach),
)


@given(touches=st.lists(TOUCH, max_size=25))
def test_whatever_is_set_on_the_page_is_saved_and_read_back_and_comments_stay(touches: list[Touch]):
    with TemporaryDirectory() as folder:
        store = Path(folder)
        (store / "settings.toml").write_text(COMMENTED, encoding="utf-8")
        now = load_settings(store)
        for touch in touches:
            now = touch(now)
        save_settings(store, now)
        assert load_settings(store) == now
        text = (store / "settings.toml").read_text(encoding="utf-8")
        assert text.startswith("# ours\n")
        assert "# the gate is open" in text
        assert "# from the sale" in text
        assert [p.name for p in store.iterdir()] == ["settings.toml"]


def shown(cells: tuple[Cell[Setting], ...]) -> dict[str, str]:
    return {cell.title: cell.value for cell in cells}


def test_every_setting_stands_on_a_page_with_its_value():
    now = Settings(volume=0.3, people=(Person("Ash"),), bay_m3=180)
    assert shown(settings_cells(now, SEEN)) == {
        "Screen": "27 inch",
        "Read from": "3 m",
        "Letters": "100 %",
        "Loudness": "30 %",
        "Spoken lines": "off",
        "Light or dark": "dark",
        "Language, units": "English",
        "Working hours": "at any time",
        "People": "Ash",
        "The bay": "names, size, air",
        "Keys": "what a foot switch does",
        "Backup": "none yet",
    }
    assert shown(word_cells(now, SEEN)) == {
        "Language": "English",
        "Temperatures": "°C",
        "Volumes": "ml",
        "Time of day": "24 hours",
    }
    assert shown(bay_cells(now, SEEN)) == {
        "above the dew point": "3.0 °C",
        "the bay holds": "180 m³",
        "air changes an hour": "not told",
        "mixing: 1 is perfect": "3",
        "paint is thin below": "80 µm",
        "unlike its neighbours by": "50 µm",
        "a repaint takes no coat for": "30 days",
        "final check before it leaves": "wanted",
        "Bays": "one, without a name",
    }


def test_a_value_of_the_bay_that_was_never_told_begins_in_the_middle_and_can_be_untold():
    now = moved(Settings(), Setting.BAY_M3, 1, 27)
    assert now.bay_m3 == 100
    assert moved(Settings(), Setting.BAY_M3, -1, 27).bay_m3 is None
    for _ in range(12):
        now = moved(now, Setting.BAY_M3, -1, 27)
    assert now.bay_m3 is None
    assert moved(Settings(bay_m3=183.5), Setting.BAY_M3, 1, 27).bay_m3 == 190, "onto the grid of the steps"
    assert moved(Settings(bay_m3=183.5), Setting.BAY_M3, -1, 27).bay_m3 == 180
    assert moved(Settings(bay_air_changes=0.5), Setting.AIR_CHANGES, -1, 27).bay_air_changes == 0, "none is a value"


def test_steps_end_where_the_setting_does():
    far = Settings(reading_distance_m=6.0, letters=2.0, volume=1.0, screen_diagonal_inch=100)
    near = Settings(reading_distance_m=3.0, volume=0.0, screen_diagonal_inch=7)
    for key in (Setting.DISTANCE, Setting.LETTERS, Setting.VOLUME, Setting.INCH):
        assert moved(far, key, 1, 27) == far
        assert moved(near, key, -1, 27) == near
    assert moved(near, Setting.DISTANCE, 1, 27).reading_distance_m == 3.25
    assert moved(Settings(), Setting.INCH, 1, 26.6).screen_diagonal_inch == 28
