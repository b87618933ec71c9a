"""The first start: five questions in a row, each with a way on, and from the second on a way back."""

import pytest

from bayapp.files.shop.settings import Settings
from bayapp.job.model.ids import Person
from bayapp.pages.settings.first_start import Question, Touch, after, first_start
from bayapp.pages.settings.hours import StretchCount
from bayapp.pages.settings.settings import Seen, Setting

SEEN = Seen(27.0, "English", "none yet")


def keys_of(question: Question, now: Settings | None = None) -> list[object]:
    return [cell.key for cell in first_start(question, now or Settings(), SEEN).cells if cell.key is not None]


def test_the_questions_lead_on_to_the_end_and_back_to_the_first():
    asked: list[Question] = []
    question: Question | None = Question.SIZE
    while question:
        asked.append(question)
        question = after(question)
    assert asked == list(Question)
    assert after(Question.HOURS, -1) is Question.SIZE
    assert after(Question.SIZE, -1) is Question.SIZE


@pytest.mark.parametrize("question", Question)
def test_every_question_has_a_way_on_and_says_which_of_how_many_it_is(question: Question):
    view = first_start(question, Settings(), SEEN)
    assert view.cells[-1].key is Touch.NEXT
    assert (Touch.BEFORE in keys_of(question)) is (question is not Question.SIZE)
    assert view.subtitle.startswith(f"{list(Question).index(question) + 1} of 5.")
    assert len(view.cells) == 12, "targets large enough for gloves, and the way on always in one place"


def test_they_ask_for_size_hours_people_bay_and_sound():
    assert keys_of(Question.SIZE)[:3] == [Setting.INCH, Setting.DISTANCE, Setting.LETTERS]
    assert StretchCount(2) in keys_of(Question.HOURS)
    assert Touch.ADD_NAME in keys_of(Question.PEOPLE)
    assert Setting.BAY_M3 in keys_of(Question.BAY)
    assert keys_of(Question.SOUND)[:1] == [Setting.VOLUME]
    named = first_start(Question.PEOPLE, Settings(people=(Person("Ash"), Person("Bo"))), SEEN)
    assert [cell.title for cell in named.cells[1:3]] == ["Ash", "Bo"]


def test_the_line_under_a_question_is_short_enough_to_be_read_from_afar():
    lines = [first_start(question, Settings(), SEEN).subtitle for question in Question]
    assert max(len(line) for line in lines[1:]) <= 85
