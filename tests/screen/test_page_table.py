"""The table of pages: what is wanted by its name or by its kind reaches whoever opens it."""

import pytest

from bayapp.job.model.ids import BottleId
from bayapp.pages.wanted import Page, ShowBottle, ShowRecipe
from bayapp.screen.page_table import PageTable
from tests.screen.walls import Walled


def test_a_page_is_opened_by_its_name():
    opened = list[str]()
    table = PageTable()
    table.add(Page.SHELF, lambda: opened.append("shelf"))
    table.open(Page.SHELF)
    assert opened == ["shelf"]
    assert (Page.SHELF in table, Page.PLAN in table) == (True, False)


def test_what_goes_with_a_page_reaches_its_opener():
    opened = list[object]()
    table = PageTable()
    table.on(ShowBottle, opened.append)
    table.open(ShowBottle(BottleId("bottle-3")))
    assert opened == [ShowBottle(BottleId("bottle-3"))]


@pytest.mark.parametrize("wanted", [Page.PLAN, ShowRecipe("rim")])
def test_a_page_that_nobody_opens_is_a_bug_of_ours(wanted: Page | ShowRecipe):
    with pytest.raises(KeyError):
        PageTable().open(wanted)


def test_every_page_by_name_has_its_opener_but_the_sensors_of_a_shop_without(board: Walled):
    assert [page for page in Page if page not in board.openers.table] == [Page.SENSORS]
