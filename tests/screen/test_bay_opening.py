"""A journal whose file is damaged around its entries is mended at the start, and that is said."""

import sqlite3
from contextlib import closing
from datetime import UTC
from pathlib import Path

from bayapp.pages.board.store_notice import found_sentences, store_words
from bayapp.record.findings import FileRebuilt
from bayapp.record.integrity import check
from bayapp.screen.bay_opening import open_bay
from tests.record.damage import FILE, PAGE, keep_stores


def test_a_start_on_a_lost_index_builds_the_file_anew_and_says_so(tmp_path: Path):
    kept = keep_stores(tmp_path)["closed"]
    with closing(sqlite3.connect(kept.folder / FILE)) as other:
        found = other.execute("SELECT rootpage FROM sqlite_master WHERE name = 'ix_journal_job'").fetchone()
    content = bytearray((kept.folder / FILE).read_bytes())
    content[(found[0] - 1) * PAGE : found[0] * PAGE] = bytes(PAGE)
    (kept.folder / FILE).write_bytes(content)
    bay, close = open_bay(kept.folder, 1.0, practice=False, tz=UTC)
    assert [job.job.id for job in bay.state.open_jobs] == ["car-10", "car-11"]
    assert bay.store_watch.found == (FileRebuilt(),)
    assert store_words(bay) == "Look at the journal"
    assert "built anew from its entries" in found_sentences(bay.store_watch.found)[0]
    close()
    assert check(kept.folder) == ()
