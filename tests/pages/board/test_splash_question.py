"""The question whether water on one car reaches another, on a button and on its page."""

from datetime import UTC

from bayapp.pages.board.splash_question import splash_question, splash_text
from tests.job.builders import at, start
from tests.job.gate.places import VAN, splash, two_cars

WASH = start("left-rim", "wash", "Bo", "van")


def test_it_names_both_cars_and_tells_what_comes_of_yes_and_of_no():
    shop = two_cars("coat", "level")
    question = splash_question(shop.ask(WASH, 8), shop.state, at(8), UTC)
    assert question is not None
    assert question.title == "Roof of Red car: out of reach of splash?"
    assert question.subtitle == "It must be kept dry until 20:07. The water is on White van."
    assert question.no == "water on White van waits until 20:07"
    assert (question.wet, question.car) == (VAN, "White van")


def test_another_day_stands_with_its_date():
    shop = two_cars("coat", "level")
    question = splash_question(shop.ask(WASH, 8), shop.state, at(8 - 24 * 60), UTC)
    assert question is not None
    assert question.no == "water on White van waits until 25 Nov 20:07"


def test_a_button_says_that_it_asks_and_nothing_where_it_does_not():
    shop = two_cars("coat", "level")
    assert splash_text(shop.ask(WASH, 8), shop.state, at(8), UTC) == "Asks first whether the water reaches Red car."
    shop.must(splash(out_of_reach=True), 8)
    assert splash_text(shop.ask(WASH, 8), shop.state, at(8), UTC) == ""
    open_coat = two_cars("coat")
    assert splash_text(open_coat.ask(WASH, 8), open_coat.state, at(8), UTC) == "", "that is a plain no"
