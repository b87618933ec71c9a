"""A shop's language and units, from its settings to what is written."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from bayapp.files.problems import BadFile
from bayapp.files.shop.settings import load_settings, use_shop_units
from bayapp.text.figures import Units, temperature, use_units, volume
from bayapp.text.language import USUAL, language, use_language


@pytest.fixture(autouse=True)
def usual() -> Iterator[None]:
    yield
    use_units(Units())
    use_language(USUAL)


def written(store: Path, lines: str) -> Path:
    (store / "settings.toml").write_text(f'format = "bayapp-settings/1"\n{lines}', encoding="utf-8")
    return store


def test_a_shop_reads_in_the_units_it_set(tmp_path: Path):
    use_shop_units(load_settings(written(tmp_path, 'temperatures = "f"\nvolumes = "fl-oz"\nday_clock = "12h"\n')))
    assert temperature(20) == "68.0 °F"
    assert volume(500) == "16.9 fl oz"


def test_a_language_without_a_catalogue_is_spoken_in_english(tmp_path: Path):
    use_shop_units(load_settings(written(tmp_path, 'language = "xx"\n')))
    assert language() == USUAL


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ('temperatures = "kelvin"', "c, f"),
        ('day_clock = "am"', "24h, 12h"),
        ('language = "Deutsch!"', "language"),
    ],
)
def test_what_is_no_unit_is_reported_with_its_place(tmp_path: Path, line: str, reason: str):
    with pytest.raises(BadFile) as bad:
        load_settings(written(tmp_path, line + "\n"))
    assert "line 2" in str(bad.value)
    assert reason in str(bad.value)
