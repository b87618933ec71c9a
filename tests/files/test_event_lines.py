from datetime import date
from pathlib import Path

import pytest

from bayapp.files.event_lines import NumberedRequest, opened_at, read_event_lines
from bayapp.files.library import Library
from bayapp.files.problems import BadFile
from bayapp.job import (
    AddPhoto,
    CloseSet,
    CorrectAir,
    Cover,
    FinishStep,
    GiveIdentity,
    Job,
    LiftMark,
    Mark,
    MarkKind,
    ReadAir,
    ReadThickness,
    SetMark,
    Start,
    Uncover,
    Undo,
    WithdrawPhoto,
    WithdrawThickness,
    WriteNote,
)
from bayapp.job.model.identity import Identity, Mileage
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.model.instant import parse_instant
from tests.files.broken import BROKEN_EVENTS, EVENTS, JOB, Broken
from tests.files.test_library import LIBRARY_WORDS


@pytest.fixture
def job(tmp_path: Path) -> Job:
    (tmp_path / "job.toml").write_text(JOB)
    return Library().load_job(tmp_path / "job.toml", "green")


GREEN, ASH, WIPE = JobId("green"), Person("Ash"), StepId("wipe")
SCREEN = (ZoneId("windscreen"),)


def read(tmp_path: Path, text: str, job: Job) -> list[NumberedRequest]:
    (tmp_path / "events.jsonl").write_bytes(text.encode())
    return read_event_lines(tmp_path / "events.jsonl", job)


@pytest.mark.parametrize("broken", BROKEN_EVENTS, ids=str)
def test_a_broken_line_is_reported_with_line_key_and_what_would_be_right(broken: Broken, job: Job, tmp_path: Path):
    with pytest.raises(BadFile) as caught:
        read(tmp_path, broken.text(EVENTS), job)
    found = caught.value.findings
    assert any(f.place == broken.place and broken.words in f.reason for f in found), "\n".join(map(str, found))
    assert not LIBRARY_WORDS.search("\n".join(f.reason for f in found))


def test_lines_are_broken_in_at_least_twenty_ways():
    assert len({broken.name for broken in BROKEN_EVENTS}) >= 20


def test_every_broken_line_is_reported_not_only_the_first(job: Job, tmp_path: Path):
    text = EVENTS.replace('"act": "start"', '"act": "begin"').replace('"act": "undo"', '"act": "back"')
    with pytest.raises(BadFile) as caught:
        read(tmp_path, text, job)
    assert [f.line for f in caught.value.findings] == [2, 5]


def test_each_act_becomes_its_request(job: Job, tmp_path: Path):
    asked = read(tmp_path, EVENTS, job)
    assert [a.line for a in asked] == [1, 2, 3, 4, 5, 6]
    assert asked[0].at == parse_instant("2026-11-25T08:00:00Z")
    assert [a.request for a in asked] == [
        ReadAir(20, 50, 19.5, ASH),
        Start(GREEN, SCREEN, WIPE, ASH),
        FinishStep(GREEN, SCREEN, WIPE, ASH),
        WriteNote(GREEN, "a chip at the edge", SCREEN),
        Undo(GREEN, SCREEN),
        FinishStep(GREEN, SCREEN, WIPE),
    ]


def test_a_coat_is_covered_and_uncovered_and_a_zone_goes_on_by_itself(job: Job, tmp_path: Path):
    lines = "".join(
        f'{{"at": "2026-11-25T08:00:00Z", "act": "{act}", "zone": "windscreen", "by": "Ash"}}\n'
        for act in ("cover", "uncover", "close-set")
    )
    assert [a.request for a in read(tmp_path, lines, job)] == [
        Cover(GREEN, SCREEN, ASH),
        Uncover(GREEN, SCREEN, ASH),
        CloseSet(GREEN, SCREEN, ASH),
    ]


def test_what_tells_the_car_from_others_is_said_with_its_plate_in_any_script(job: Job, tmp_path: Path):
    line = (
        '{"at": "2026-11-25T08:00:00Z", "act": "identity", "plate": "Ж 12 ЖЖ", "key_hook": "7", "by": "Ash",'
        ' "mileage": {"figure": 88001, "unit": "mi"}, "wishes": ["gloss", "no scent"]}\n'
    )
    said = Identity(
        plate="Ж 12 ЖЖ", key_hook="7", mileage=Mileage(figure=88_001, unit="mi"), wishes=("gloss", "no scent")
    )
    assert [a.request for a in read(tmp_path, line, job)] == [GiveIdentity(GREEN, said, ASH)]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ('"plate": "AAAAAAAAAAAAAAAAAAAAA"', "plate: it has 21 characters; at most 20 are kept"),
        ('"plate": "BY\\u202e7"', "right-to-left override"),
        ('"key_hook": "  "', "nothing but blanks"),
        ('"mileage": {"figure": -1}', "mileage"),
        ('"mileage": {"figure": 1, "unit": "furlong"}', "furlong"),
        ('"wishes": [""]', "wishes"),
    ],
)
def test_a_plate_hook_or_mileage_that_cannot_be_is_refused_with_its_place_and_why(
    job: Job, tmp_path: Path, said: str, why: str
):
    with pytest.raises(BadFile) as refused:
        read(tmp_path, f'{{"at": "2026-11-25T08:00:00Z", "act": "identity", {said}}}\n', job)
    assert "line 1" in str(refused.value)
    assert why in str(refused.value)


def test_a_mark_is_set_on_zones_and_sets_worked_or_not_by_the_keys_of_a_job_and_lifted(job: Job, tmp_path: Path):
    lines = "".join(
        f'{{"at": "2026-11-25T08:00:00Z", {said}, "by": "Ash"}}\n'
        for said in (
            '"act": "mark", "zones": ["all-glass", "roof"], "kind": "film", "date": "2026-02-21", "note": "clear"',
            '"act": "mark", "zone": "no-such", "kind": "damage", "what": "chip", "point": [310, 42.5]',
            '"act": "lift-mark", "zone": "roof", "kind": "damage", "what": "chip", "point": [310, 42.5]',
        )
    )
    glass = job.vehicle.zones_of(["all-glass"])
    chip = Mark(kind="damage", what="chip", point=(310, 42.5))
    assert [a.request for a in read(tmp_path, lines, job)] == [
        SetMark(GREEN, (*glass, ZoneId("roof")), Mark(kind="film", date=date(2026, 2, 21), note="clear"), ASH),
        SetMark(GREEN, (ZoneId("no-such"),), chip, ASH),
        LiftMark(GREEN, (ZoneId("roof"),), MarkKind.DAMAGE, chip.what, chip.point, ASH),
    ]
    assert len(glass) > 2, "also panes that are not worked"


def test_a_reading_is_corrected_or_withdrawn(job: Job, tmp_path: Path):
    reading = '"at": "2026-11-25T08:05:00Z", "act": "air-corrected", "corrects": "2026-11-25T09:00:00+01:00"'
    later = '"air_c": 18, "rh_percent": 55, "read_at": "2026-11-25T07:58:00Z"'
    lines = f'{{{reading}, {later}, "by": "Ash"}}\n{{{reading}, "source": "door", "withdrawn": true}}\n'
    eight, before = parse_instant("2026-11-25T08:00:00Z"), parse_instant("2026-11-25T07:58:00Z")
    assert [a.request for a in read(tmp_path, lines, job)] == [
        CorrectAir(eight, ReadAir(18, 55, read_at=before), "", ASH),
        CorrectAir(eight, None, "door"),
    ]


def test_paint_is_measured_and_photos_are_kept_of_any_zone_or_of_the_whole_car(job: Job, tmp_path: Path):
    at, sha = '"at": "2026-11-25T08:00:00Z", "by": "Ash"', "0a" * 32
    lines = (
        f'{{{at}, "act": "thickness", "zone": "roof", "um": [112, 74.5], "source": "gauge"}}\n'
        f'{{{at}, "act": "thickness-withdrawn", "zone": "roof", "number": 1}}\n'
        f'{{{at}, "act": "photo", "sha256": "{sha}", "kind": "jpeg", "size": 900}}\n'
        f'{{{at}, "act": "photo-withdrawn", "sha256": "{sha}"}}\n'
    )
    roof = ZoneId("roof")
    assert [a.request for a in read(tmp_path, lines, job)] == [
        ReadThickness(GREEN, ((roof, (112, 74.5)),), ASH, "gauge"),
        WithdrawThickness(GREEN, roof, 1, ASH),
        AddPhoto(GREEN, None, sha, "jpeg", 900, None, ASH),
        WithdrawPhoto(GREEN, None, sha, ASH),
    ]


@pytest.mark.parametrize(
    ("um", "said"), [("[-1]", "um 1"), ("[5000.5]", "um 1"), ("[]", "um"), ('["80"]', "um 1"), ("[NaN]", "NaN")]
)
def test_a_thickness_that_no_paint_has_is_a_fault_of_the_line(um: str, said: str, job: Job, tmp_path: Path):
    line = f'{{"at": "2026-11-25T08:00:00Z", "act": "thickness", "zone": "roof", "um": {um}}}'
    with pytest.raises(BadFile) as caught:
        read(tmp_path, line, job)
    assert said in str(caught.value)


def test_a_set_stands_for_its_worked_zones_and_a_stranger_for_itself(job: Job, tmp_path: Path):
    lines = "".join(
        f'{{"at": "2026-11-25T08:00:00+01:00", "act": "start", "zone": "{zone}", "step": "wipe", "deviation": "why"}}\n'
        for zone in ("all-glass", "mirrors", "no-such")
    )
    glass, mirrors, stranger = (a.request for a in read(tmp_path, lines, job))
    assert glass == Start(GREEN, (*SCREEN, ZoneId("rear-screen")), WIPE, None, "why")
    assert mirrors == Start(GREEN, (ZoneId("mirrors"),), WIPE, None, "why")
    assert stranger == Start(GREEN, (ZoneId("no-such"),), WIPE, None, "why")


def test_a_note_may_be_about_a_set_or_about_no_zone(job: Job, tmp_path: Path):
    lines = "".join(
        f'{{"at": "2026-11-25T08:00:00+01:00", "act": "note", "text": "dust"{zone}}}\n'
        for zone in (', "zone": "all-glass"', "")
    )
    asked = [a.request for a in read(tmp_path, lines, job)]
    assert asked == [WriteNote(GREEN, "dust", (*SCREEN, ZoneId("rear-screen"))), WriteNote(GREEN, "dust")]


def test_empty_lines_and_windows_line_ends_do_no_harm(job: Job, tmp_path: Path):
    text = "\ufeff" + EVENTS.replace("\n", "\r\n\r\n")
    assert [a.line for a in read(tmp_path, text, job)] == [1, 3, 5, 7, 9, 11]


def test_a_line_separator_inside_a_note_ends_no_line(job: Job, tmp_path: Path):
    assert len(read(tmp_path, EVENTS.replace("a chip", "a\u2028chip"), job)) == 6


def test_the_job_is_opened_at_its_start_or_at_an_earlier_first_event(job: Job, tmp_path: Path):
    assert opened_at(job, []) == job.start
    assert opened_at(job, read(tmp_path, EVENTS, job)) == job.start
    early = read(tmp_path, EVENTS.replace("T08:00:00Z", "T07:59:59.999Z"), job)
    assert opened_at(job, early) == parse_instant("2026-11-25T07:59:59.999Z")
