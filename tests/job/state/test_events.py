"""What every entry of the journal, and every request, has in common."""

from dataclasses import fields
from typing import Any, get_args

import pytest
from pydantic import ValidationError

from bayapp.job.state.events import AirRead, AirValues, Deviation, Event, EventBase
from bayapp.job.state.requests import Request

AT = "2026-11-25T08:00:00Z"
ENTRIES: list[tuple[Any, dict[str, Any]]] = [
    (EventBase, {"at": AT}),
    (AirRead, {"at": AT, "air_c": 20.0, "rh_percent": 50.0}),
    (AirValues, {"air_c": 20.0, "rh_percent": 50.0}),
    (Deviation, {"code": "late", "why": "too late", "reason": "the maker allows it"}),
]


@pytest.mark.parametrize(("model", "data"), ENTRIES)
def test_what_has_been_recorded_is_never_changed_and_knows_no_other_keys(model: Any, data: dict[str, Any]) -> None:
    entry = model.model_validate(data)
    key = next(iter(data))
    with pytest.raises(ValidationError, match="frozen"):
        setattr(entry, key, data[key])
    with pytest.raises(ValidationError, match="Extra inputs are not permitted"):
        model.model_validate({**data, "colour": "green"})


@pytest.mark.parametrize("event", get_args(get_args(Event)[0]), ids=lambda event: event.__name__)
def test_an_event_is_made_with_the_name_and_version_that_it_is_read_by(event: Any) -> None:
    field = event.model_fields["event"]
    assert (field.default,) == get_args(field.annotation)


def test_whoever_is_not_named_is_nobody() -> None:
    asked = {each.__name__: field.default for each in get_args(Request) for field in fields(each) if field.name == "by"}
    assert {"Start", "ReadAir", "FinishBottle"} <= asked.keys()
    assert set(asked.values()) == {None}
