"""Who is in today: by one touch, on every car, in the plan's hands and on the strip."""

from pathlib import Path

from bayapp.job.state.events import CrewChanged
from bayapp.pages.wanted import Page
from bayapp.screen.input.typed_entry import TypingPage
from tests.pages.bays import hand_bay
from tests.screen.walls import Walled, walled

SHOP = 'format = "bayapp-settings/1"\npeople = ["Ash", "Bo", "Cy Miller"]\n'


def open_page(wall: Walled) -> None:
    wall.wall.pages.want(Page.MORE)
    wall.choose("Who is in today")


def crews(wall: Walled) -> list[tuple[str, ...]]:
    return [state.job.crew for state in wall.hand.bay.state.open_jobs]


def test_somebody_comes_and_somebody_goes_on_every_car(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand) as wall:
        (hand.store / "settings.toml").write_text(SHOP, encoding="utf-8")
        wall.answer_all()
        open_page(wall)
        assert wall.choices() == ["A new name", "Everybody", "Ash", "Bo", "Cy Miller", "Cy 2", "Di 2"]
        wall.choose("Cy Miller")
        assert crews(wall) == [("Ash", "Bo", "Cy Miller"), ("Cy 2", "Di 2", "Cy Miller")]
        wall.choose("Ash")
        assert crews(wall) == [("Bo", "Cy Miller"), ("Cy 2", "Di 2", "Cy Miller")]
        assert wall.wall.selection.by == "Bo"
        assert isinstance(list(hand.journal.read())[-1], CrewChanged)


def test_who_is_at_work_cannot_go_and_it_is_said(tmp_path: Path):
    with hand_bay(tmp_path, cars=1) as hand, walled(hand) as wall:
        wall.answer_all()
        open_page(wall)
        wall.choose("Bo")  # Bo works on the rear left rim
        assert "Bo is still at" in wall.wall.pages.choices.sentences[0]
        assert hand.bay.state.open_jobs[0].job.crew == ("Ash", "Bo")


def test_a_shop_that_records_initials_offers_them(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        (hand.store / "settings.toml").write_text(SHOP + 'names = "initials"\n', encoding="utf-8")
        open_page(wall)
        assert wall.choices() == ["A new name", "Everybody", "A", "B", "CM"]


def test_a_shop_that_wants_no_names_has_none_to_offer(tmp_path: Path):
    with hand_bay(tmp_path, cars=0) as hand, walled(hand) as wall:
        (hand.store / "settings.toml").write_text(SHOP + 'names = "none"\n', encoding="utf-8")
        open_page(wall)
        assert wall.choices() == ["Everybody"]
        assert "not recorded" in wall.wall.pages.choices.subtitle


def test_a_new_name_is_in_today_on_every_car_and_offered_from_now_on(tmp_path: Path):
    with hand_bay(tmp_path, cars=2) as hand, walled(hand) as wall:
        wall.answer_all()
        open_page(wall)
        wall.choose("A new name")
        (typing,) = wall.wall.findChildren(TypingPage)
        for letter in "DAN":
            wall.press(next(b for b in typing.keys if b.isVisible() and b.title == letter))
        wall.press(typing.record_button)
        assert crews(wall) == [("Ash", "Bo", "Dan"), ("Cy 2", "Di 2", "Dan")]
        assert wall.choices()[:2] == ["A new name", "Everybody"], "a name lies under the finger that just added one"
        wall.wall.pages.want(Page.NAMES)
        assert "Dan" in wall.choices()


def test_a_name_that_is_known_already_comes_in_and_stands_in_no_crew_twice(tmp_path: Path):
    with hand_bay(tmp_path, cars=1) as hand, walled(hand) as wall:
        (hand.store / "settings.toml").write_text(SHOP, encoding="utf-8")
        wall.answer_all()
        for _ in range(2):
            open_page(wall)
            wall.choose("A new name")
            (typing,) = wall.wall.findChildren(TypingPage)
            for letter in "ASH":
                wall.press(next(b for b in typing.keys if b.isVisible() and b.title == letter))
            wall.press(typing.record_button)
        assert crews(wall) == [("Ash", "Bo")]
