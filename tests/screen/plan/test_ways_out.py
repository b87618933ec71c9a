"""One touch takes a way out: it sends what its button painted, and can be undone."""

from datetime import timedelta

from bayapp.job import Start
from bayapp.job.model.ids import StepId, ZoneId
from bayapp.pages.wanted import Page
from bayapp.planning.core.work_order import Remedy, WayOut
from bayapp.screen.plan.plan import PlanPage
from bayapp.screen.plan.ways_out import WaysOutPage
from tests.pages.bays import ASH, CAR
from tests.pages.orders import day_order, troubled
from tests.screen.walls import Walled


def open_ways(board: Walled) -> WaysOutPage:
    board.turn_to("plan-ways")
    (page,) = board.wall.findChildren(WaysOutPage)
    assert page.isVisible()
    return page


def test_the_plan_opens_with_what_is_wrong_and_leads_to_its_time_line_and_back(board: Walled):
    page = open_ways(board)
    assert page.sentence.startswith("Coat (windscreen) cannot begin by 09:30")
    assert [button.isVisible() for button in page.buttons] == [True, True, True]
    board.press(page.line_button)
    (line,) = board.wall.findChildren(PlanPage)
    assert line.isVisible()
    board.press(line.words_button)
    assert page.isVisible()


def test_one_touch_sends_what_was_painted_and_undo_takes_it_back(board: Walled):
    page = open_ways(board)
    before = board.events()
    board.press(page.buttons[1])
    assert board.events() == before + 1
    assert list(board.hand.bay.state.jobs[CAR].aside) == [ZoneId("roof")]
    (line,) = board.wall.findChildren(PlanPage)
    assert line.isVisible()
    assert (line.words_button.title, line.words_button.detail) == ("Undo", "Set aside: roof")
    board.press(line.words_button)
    assert not board.hand.bay.state.jobs[CAR].aside
    assert line.words_button.title != "Undo"


def test_from_the_plan_after_a_way_out_one_touch_leads_on_up_and_not_to_what_was_wrong(board: Walled):
    page = open_ways(board)
    board.press(page.buttons[1])
    (line,) = board.wall.findChildren(PlanPage)
    board.press(line.close_button)
    assert not page.isVisible()
    assert not line.isVisible()


def test_to_let_it_go_records_nothing_and_no_button_speaks_of_it_any_more(board: Walled):
    page = open_ways(board)
    before = board.events()
    board.wall.refresher.refresh()
    shown = board.wall.next_bar.offer_of(board.wall.next_bar.instead)
    assert shown
    assert shown.opens_plan
    board.press(page.buttons[0])
    assert board.events() == before
    board.wait(1)
    bar = board.wall.next_bar
    assert not any(offer and offer.opens_plan for offer in map(bar.offer_of, (bar.main, bar.instead)))


def test_a_page_of_ways_out_gives_way_to_the_time_line_once_nothing_is_wrong(board: Walled):
    page = open_ways(board)
    bay = board.hand.bay
    bay.advice.take_order(day_order(bay.state, bay.now()))
    board.wait(1)
    assert not page.isVisible()
    (line,) = board.wall.findChildren(PlanPage)
    assert line.isVisible()


def test_a_way_out_that_has_become_wrong_is_refused_in_words(board: Walled):
    page = open_ways(board)
    board.set_aside(to_ladder=False)
    bay = board.hand.bay
    order = troubled(day_order(bay.state, bay.now()))
    aside = order.ways_out[1].model_copy(update={"zones": (ZoneId("bonnet"),)})
    bay.advice.take_order(order.model_copy(update={"ways_out": (aside,)}))
    board.wait(1)
    before = board.events()
    board.press(page.buttons[0])
    assert board.events() == before
    assert board.wall.pages.choices.isVisible()


def test_a_cover_chosen_while_the_coat_is_laid_is_the_big_button_once_that_is_done(board: Walled):
    bay, bar, bonnet = board.hand.bay, board.wall.next_bar, (ZoneId("bonnet"),)
    assert bay.request(Start(CAR, bonnet, StepId("coat-1"), ASH)).accepted
    at = bay.now()
    way = WayOut(remedy=Remedy.COVER, job=CAR, zones=bonnet, once=StepId("coat-1"), finish=at + timedelta(hours=2))
    bay.advice.take_order(troubled(day_order(bay.state, at), ways_out=(way,), losses=(), stuck=True))
    board.wall.pages.want(Page.PLAN)
    board.wait(1)
    (page,) = board.wall.findChildren(WaysOutPage)
    before = board.events()
    board.press(page.buttons[0])
    assert board.events() == before, "nothing is covered yet"
    board.wait(1)
    assert bar.main.title.startswith("Done: coat 1 of 2")
    assert bar.main.detail.endswith("Then cover it.")
    board.press(bar.main)
    board.wait(1)
    assert bar.main.title == "Cover: bonnet (Ash)"
    board.press(bar.main)
    assert bay.state.jobs[CAR].zones[bonnet[0]].covered
    board.wait(1)
    assert not bar.main.title.startswith("Cover")
