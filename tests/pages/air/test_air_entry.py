"""A reading typed key by key: what it says is missing or impossible, and what is asked for in the end."""

from datetime import UTC

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayapp.job import CorrectAir, ReadAir
from bayapp.job.state.events import AirRead
from bayapp.pages.air.air_entry import KEYS, AirEntry, AirField, air_entry
from bayapp.text.figures import TemperatureUnit, Units, use_units
from tests.pages.bays import ASH, OPENING


def typed(keys: str, entry: AirEntry | None = None) -> AirEntry:
    """Type single characters; ``<`` erases, ``>`` goes on to the next field."""
    found = entry or AirEntry()
    for key in keys:
        found = found.press({"<": "back", ">": "next"}.get(key, key))
    return found


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        ("21.5", "21.5"),
        ("21.54", "21.5"),
        ("2..5", "2.5"),
        (".5", "0.5"),
        ("05", "5"),
        ("00", "0"),
        ("1234", "123"),
        ("4-", "-4"),
        ("4--", "4"),
        ("-4<<", ""),
        ("21.<", "21"),
        ("<", ""),
        ("-.5", "-0.5"),
    ],
)
def test_what_keys_make(keys: str, text: str):
    assert typed(keys).air == text


def test_next_goes_round_the_fields_and_a_touched_field_is_typed_into():
    entry = typed("21>48>19.5>")
    assert (entry.air, entry.humidity, entry.surface) == ("21", "48", "19.5")
    assert entry.chosen is AirField.AIR
    assert typed("<7", entry.choose(AirField.HUMIDITY)).humidity == "47"


def test_a_whole_reading_is_asked_for_in_the_persons_name():
    assert typed("21.5>48>19.5").request(ASH) == ReadAir(21.5, 48.0, 19.5, ASH)


def test_the_surface_may_be_left_out():
    assert typed("21.5>48").trouble() == ""
    assert typed("21.5>48").request(None) == ReadAir(21.5, 48.0, None)


@pytest.mark.parametrize(
    ("keys", "trouble"),
    [
        ("", "Type the temperature of the air."),
        ("-", "Type the temperature of the air."),
        (">48", "Type the temperature of the air."),
        ("21", "Type the humidity of the air."),
        ("90.1", "The air cannot have 90.1 °C: from -40 °C to 90 °C is possible."),
        ("-40.1", "The air cannot have -40.1 °C: from -40 °C to 90 °C is possible."),
        ("21>0", "A humidity of 0 % cannot be: it is above 0 and at most 100 %."),
        ("21>100.1", "A humidity of 100.1 % cannot be: it is above 0 and at most 100 %."),
        ("21>-5", "A humidity of -5 % cannot be: it is above 0 and at most 100 %."),
        ("21>48>95", "The surface cannot have 95 °C: from -40 °C to 90 °C is possible."),
        ("21>48>-", "Type the temperature of the surface, or take the sign away."),
    ],
)
def test_what_is_missing_or_impossible_is_said_and_nothing_is_asked_for(keys: str, trouble: str):
    assert typed(keys).trouble() == trouble
    assert typed(keys).request(ASH) is None


@pytest.mark.parametrize("keys", ["90>100>90", "-40>0.1>-40"])
def test_the_limits_themselves_are_possible(keys: str):
    assert typed(keys).trouble() == ""


@given(st.lists(st.sampled_from(KEYS)))
def test_whatever_is_typed_the_page_stands_and_what_it_asks_for_can_be_recorded(keys: list[str]):
    entry = AirEntry()
    for key in keys:
        entry = entry.press(key)
    view = air_entry(entry, None, UTC)
    asked = entry.request(ASH)
    assert (asked is None) == bool(view.trouble)
    if asked:
        assert isinstance(asked, ReadAir)
        AirRead(at=OPENING, air_c=asked.air_c, rh_percent=asked.rh_percent, surface_c=asked.surface_c)
        assert view.note.startswith(("Dew point", "Frost point"))


def test_the_last_reading_is_a_hint_and_is_never_recorded_again():
    last = AirRead(at=OPENING, air_c=21.0, rh_percent=48.0, surface_c=19.5)
    view = air_entry(AirEntry(), last, UTC)
    assert [f.last for f in view.fields] == ["last 21.0", "last 48.0", "last 19.5"]
    assert view.subtitle == "Last read at 09:00."
    assert [f.typed for f in view.fields] == ["", "", ""]
    assert typed("22>50").request(None) == ReadAir(22.0, 50.0, None)


def test_without_a_reading_there_is_no_hint():
    view = air_entry(AirEntry(), None, UTC)
    assert [f.last for f in view.fields] == ["", "", ""]
    assert view.subtitle == "It has not been read yet."


@pytest.mark.parametrize(
    ("keys", "note"),
    [
        ("20>50", "Dew point 9.3 °C, 10.7 °C below the surface."),
        ("25>60>20", "Dew point 16.7 °C, 3.3 °C below the surface."),
        ("25>60>15", "Dew point 16.7 °C: water settles on the surface."),
        ("5>40", "Frost point -6.6 °C, 11.6 °C below the surface."),
        ("5>40>-8", "Frost point -6.6 °C: rime settles on the surface."),
    ],
)
def test_the_dew_point_is_written_as_tables_have_it(keys: str, note: str):
    """9.3 °C at 20 °C and 50 %, 16.7 °C at 25 °C and 60 %: the dew-point table of DIN 4108-3, from memory."""
    assert air_entry(typed(keys), None, UTC).note == note


def read(air_c: float = 21.3, rh: float = 48, surface_c: float | None = 19) -> AirRead:
    return AirRead(at=OPENING, by=ASH, air_c=air_c, rh_percent=rh, surface_c=surface_c)


def test_a_correction_begins_with_what_was_read_and_the_first_key_replaces_it():
    entry = AirEntry.correcting(read())
    assert (entry.air, entry.humidity, entry.surface) == ("21.3", "48", "19")
    assert entry.trouble() == "Type what it should have been."
    assert entry.request(ASH) is None
    assert typed("12.5", entry).request(ASH) == CorrectAir(OPENING, ReadAir(12.5, 48, 19, ASH), "", ASH)
    assert typed("<", entry).air == "21."
    assert typed("-4", entry).air == "-4"
    assert typed(">>" + "<<", entry).request(ASH) == CorrectAir(OPENING, ReadAir(21.3, 48, None, ASH), "", ASH)
    assert entry.withdrawal(ASH) == CorrectAir(OPENING, None, "", ASH)
    assert AirEntry().withdrawal(ASH) is None


def test_a_shop_that_types_fahrenheit_records_celsius():
    """70 °F are 21.11 °C, 32 °F are 0 °C: (F - 32) / 1.8 (NIST SP 811, B.8)."""
    use_units(Units(temperature=TemperatureUnit.FAHRENHEIT))
    try:
        assert typed("70>48>32").request(None) == ReadAir(21.11, 48.0, 0.0)
        assert typed("200>48").trouble() == "The air cannot have 200 °F: from -40 °F to 194 °F is possible."
        entry = AirEntry.correcting(read(21.33, 48, 19.44))
        assert (entry.air, entry.surface) == ("70.4", "67")
        asked = typed(">50", entry).request(None)
        assert asked == CorrectAir(OPENING, ReadAir(21.33, 50, 19.44)), "what nobody typed keeps its exact value"
        field = air_entry(AirEntry(), read(20), UTC).fields[0]
        assert (field.unit, field.last) == ("°F", "last 68.0")
    finally:
        use_units(Units())
