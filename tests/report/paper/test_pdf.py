"""The paper itself, read back by poppler (pdfinfo, pdftotext): real files, real text, nothing missing."""

import re
import shutil
import subprocess
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bayapp.cli.day import read_day
from bayapp.files.library import Library
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import JobOpened
from bayapp.paths import resource
from bayapp.report.facts.file_name import file_name
from bayapp.report.facts.phrases import Phrases
from bayapp.report.write import ReportRequest, write_report
from tests.files.own_van import van_job
from tests.report.days import eventful_morning, practice_day, seen, too_much
from tests.report.facts.test_content import finished_cart
from tests.report.shop import BERLIN, DAY, Shop

pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")


def written(shop: Shop, hours: float, folder: Path, paper: str = "a4") -> Path:
    at = shop.job.start + timedelta(hours=hours)
    return write_report(shop.events, ReportRequest(shop.job.id, DAY, at, BERLIN, paper), folder)[0]


def text_of(pdf: Path) -> str:
    """Return the text in the order it was written, with every stretch of blanks as one."""
    run = subprocess.run(["pdftotext", "-raw", pdf, "-"], capture_output=True, text=True, check=True)
    return " ".join(run.stdout.split())


def info_of(pdf: Path) -> dict[str, str]:
    run = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True)
    return dict(re.split(r":\s+", line, maxsplit=1) for line in run.stdout.splitlines() if ": " in line)


@pytest.fixture(scope="module")
def half_done() -> Shop:
    return practice_day(5)


@pytest.fixture(scope="module")
def nearly_done() -> Shop:
    return practice_day(10)


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_a_half_done_day_fits_on_two_pages_of_either_paper(half_done, tmp_path, paper, size):
    info = info_of(written(half_done, 5.1, tmp_path, paper))
    assert int(info["Pages"]) <= 2
    # ISO 216 A4 is 210 × 297 mm, ANSI A is 8.5 × 11 in; in points of 1/72 in.
    width, height = (float(n) for n in re.findall(r"[\d.]+", info["Page size"])[:2])
    assert (round(width), round(height)) == size


def test_a_whole_day_fits_on_two_pages(nearly_done, tmp_path):
    assert info_of(written(nearly_done, 9.9, tmp_path))["Pages"] == "2"


def test_a_small_job_fits_on_one_page(tmp_path):
    assert info_of(written(finished_cart(), 0.7, tmp_path))["Pages"] == "1"


def test_every_zone_person_and_step_time_is_on_the_paper(nearly_done, tmp_path):
    record, text = seen(nearly_done, 9.9), text_of(written(nearly_done, 9.9, tmp_path))
    phrases = Phrases(record, BERLIN)
    assert [zone.name for zone in record.zones if zone.name.casefold() not in text.casefold()] == []
    assert [name for name in record.crew if name not in text] == []
    spans = {phrases.span(step) for zone in record.zones for step in zone.steps}
    assert len(spans) > 40
    assert [span for span in spans if span not in text] == []


def test_what_is_left_and_what_is_still_curing_is_on_the_paper(half_done, tmp_path):
    record, text = seen(half_done, 5.1), text_of(written(half_done, 5.1, tmp_path))
    assert record.handover_at is None
    assert f"No moment yet {len(record.not_done)} zones not done" in text
    dry = max(z.cure.dry_until for z in record.zones if z.cure and z.cure.dry_until)
    assert f"Keep the finished zones dry until {Phrases(record, BERLIN).moment(dry)}." in text
    left = text[text.index("Left to do") :].casefold()
    assert [z.name for z in record.zones if z.ahead and z.name.casefold() not in left] == []


def test_what_the_bay_forbids_is_not_called_free_to_begin(tmp_path):
    days = Path(__file__).parents[2] / "data" / "days"
    car, events = read_day(days / "glass-first.toml", days / "glass-first.jsonl", None)
    asked = ReportRequest(car.id, date(2026, 11, 25), datetime(2026, 11, 25, 8, 28, tzinfo=UTC), BERLIN)
    text = text_of(write_report(list(events), asked, tmp_path)[0])
    left = text[text.index("Left to do") :]
    assert "Not yet: Water would spoil the fresh coat of windscreen." in left


def test_deviations_corrections_undone_entries_and_notes_are_on_the_paper(tmp_path):
    text = text_of(written(eventful_morning(), 0.5, tmp_path))
    assert "The reason given: the towel had fallen on the floor." in text
    # 13:11 UTC is 14:11 in Berlin; levelling had to begin within 6 minutes of the first stroke.
    assert "is too late; its latest moment was 14:17:00." in text
    assert "too late by 2:00" in text
    assert "A person carried on; see the deviations." in text
    assert "start of solvent wipe was 14:08:00, is 14:07:00; corrected at 14:21:00 by Bo." in text
    assert "undone at 14:23:00 by Bo." in text
    assert "kerb mark on the rim, shown to the owner" in text


def test_the_handover_moment_of_a_finished_car_is_on_the_paper(tmp_path):
    shop = finished_cart()
    pdf = written(shop, 0.7, tmp_path)
    # Rims: finished 08:21 UTC and 24 h dry, so 09:21 the next day in Berlin.
    assert "Handover From Thu 26 Nov, 09:21" in text_of(pdf)
    assert "No drawing of this vehicle is at hand." in text_of(pdf)


def test_every_page_says_which_it_is_and_of_how_many_entries_it_was_made(nearly_done, tmp_path):
    text = text_of(written(nearly_done, 9.9, tmp_path))
    assert "page 1 of 2" in text
    assert "page 2 of 2" in text
    entries = seen(nearly_done, 9.9).entries
    assert text.count(f"{entries} entries in the journal") == 2


def test_cautions_come_first_on_every_record(tmp_path):
    text = text_of(written(eventful_morning(), 0.5, tmp_path))
    assert "Product safety sheets, local rules and licensed practice come first." in text
    assert "an estimate from the recipes and the air as read, not a guarantee" in text


def test_too_much_for_two_pages_takes_more_and_loses_nothing(tmp_path):
    shop = too_much()
    record, pdf = seen(shop, 9), written(shop, 9, tmp_path)
    text, pages = text_of(pdf), int(info_of(pdf)["Pages"])
    assert (len(record.zones), len(record.crew), len(record.deviations)) == (50, 8, 30)
    assert 2 < pages <= 8
    assert f"page {pages} of {pages}" in text
    assert [zone.name for zone in record.zones if zone.name not in text] == []
    assert [name for name in record.crew if name not in text] == []
    assert [d.reason for d in record.deviations if d.reason not in text] == []


def test_no_word_is_written_outside_the_page(tmp_path):
    """poppler gives every word's box; the paper's margin is 10 mm, which is 28 points."""
    pdf = written(too_much(), 9, tmp_path)
    run = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True, check=True)
    boxes = [
        tuple(map(float, box)) for box in re.findall(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)"', run.stdout)
    ]
    assert len(boxes) > 2000
    assert [box for box in boxes if box[0] < 27 or box[1] < 24 or box[2] > 595 - 27 or box[3] > 842 - 27] == []


def test_only_the_shipped_fonts_are_used_and_they_are_in_the_file(nearly_done, tmp_path):
    run = subprocess.run(["pdffonts", written(nearly_done, 9.9, tmp_path)], capture_output=True, text=True, check=True)
    fonts = run.stdout.splitlines()[2:]
    assert len(fonts) >= 3
    assert all(re.search(r"B612|DejaVuSans", font) for font in fonts), fonts
    assert all(re.search(r"yes\s+(yes|no)\s+yes", font) for font in fonts), fonts  # embedded, and maps back to letters


def test_three_files_are_written_whole_and_nothing_is_left_behind(tmp_path):
    shop = eventful_morning()
    folder = tmp_path / "out" / "papers"
    pdf = written(shop, 0.5, folder)
    assert pdf.read_bytes().startswith(b"%PDF-1.")
    assert sorted(p.name for p in folder.iterdir()) == [f"practice-2026-11-25.{e}" for e in ("csv", "json", "pdf")]


def test_a_car_with_a_form_of_its_own_is_drawn_on_the_paper(tmp_path):
    job = Library().load_job(van_job(tmp_path))
    papers = []
    for drawing in (job.drawing, ""):
        opened = JobOpened(at=job.start, job=job.id, opened=job.model_copy(update={"drawing": drawing}))
        asked = ReportRequest(job.id, DAY, job.start + timedelta(hours=1), BERLIN)
        papers.append(text_of(write_report([opened], asked, tmp_path / ("drawn" if drawing else "bare"))[0]))
    assert ["No drawing of this vehicle is at hand" in paper for paper in papers] == [False, True]


def test_an_unknown_job_writes_nothing(tmp_path):
    shop = eventful_morning()
    with pytest.raises(LookupError):
        write_report(shop.events, ReportRequest(JobId("nobody"), DAY, shop.job.start, BERLIN), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_broken_paper_leaves_the_older_record_as_it_was(tmp_path, monkeypatch):
    shop = eventful_morning()
    before = written(shop, 0.5, tmp_path).read_bytes()

    def broken(*args):
        raise OSError("no space left on the device")

    monkeypatch.setattr("os.fsync", broken)
    with pytest.raises(OSError, match="no space"):
        written(shop, 0.6, tmp_path)
    assert (tmp_path / "practice-2026-11-25.pdf").read_bytes() == before
    assert len(list(tmp_path.iterdir())) == 3


@pytest.mark.parametrize(
    ("job", "name"), [("../../etc/x", "etc-x"), ("a b", "a-b"), ("..", "job"), ("ok_1-2", "ok_1-2")]
)
def test_a_jobs_id_is_never_a_path(job, name):
    assert file_name(job) == name


def test_the_practice_car_of_these_days_is_the_shipped_one():
    opened = eventful_morning().events[0]
    assert isinstance(opened, JobOpened)
    assert resource("vehicles", opened.opened.vehicle.drawing).is_file()
