"""Coats laid on a reading that turned out otherwise."""

from datetime import UTC

from bayapp.job import CorrectAir, ReadAir
from bayapp.job.doubted_coats import doubted_coats, doubted_text
from tests.job.builders import Shop, at, close, finish, job, read_air, recipe, start, step, undo

LADDER = recipe(step("polish"), step("coat", layer=1), step("buff"))


def coated():
    """Roof and bonnet are coated at 2 on the reading of 1; another is taken at 5, when the roof is buffed."""
    shop = Shop(job((["roof", "bonnet"], LADDER)))
    shop.work("roof bonnet", "polish", 0, 1)
    shop.must(read_air(20, 50, 19), 1)
    shop.work("roof bonnet", "coat", 2, 3)
    shop.must(read_air(21, 50, 20), 5)
    shop.work("roof", "buff", 5, 6)
    return shop


def surface(reading):
    return reading and reading.surface_c


def said(shop):
    found = doubted_coats(shop.state)
    return doubted_text(shop.state.jobs["car"], tuple(c.zone for c in found), found[0], UTC) if found else ""


def test_a_coat_whose_reading_is_corrected_later_is_told_with_both_values():
    shop = coated()
    assert doubted_coats(shop.state) == ()
    shop.must(CorrectAir(at(1), ReadAir(20, 50, 11)), 30)
    coats = doubted_coats(shop.state)
    assert [(c.zone, c.run.step, surface(c.was), surface(c.becomes), c.unfit) for c in coats] == [
        ("roof", "coat", 19, 11, True),
        ("bonnet", "coat", 19, 11, True),
    ]
    assert said(shop) == (
        "Panels, coat: laid on a reading (08:01, 20.0 °C, 50 %, surface 19.0 °C) "
        "that was put right to 20.0 °C, 50 %, surface 11.0 °C, not right for it"
    )


def test_a_coat_whose_reading_is_withdrawn_later_is_told_with_what_it_had_said():
    shop = coated()
    shop.must(CorrectAir(at(1), None), 30)
    (roof, _bonnet) = doubted_coats(shop.state)
    assert (roof.becomes, roof.unfit) == (None, False)
    assert said(shop) == ("Panels, coat: laid on a reading that was withdrawn (08:01, 20.0 °C, 50 %, surface 19.0 °C)")


def test_another_reading_that_is_corrected_and_one_put_back_as_it_was_raise_no_doubt():
    shop = coated()
    shop.must(CorrectAir(at(5), ReadAir(9, 90)), 30)
    assert doubted_coats(shop.state) == ()
    shop.must(CorrectAir(at(1), ReadAir(9, 90)), 31)
    shop.must(CorrectAir(at(1), ReadAir(20, 50, 19)), 32)
    assert doubted_coats(shop.state) == ()


def test_a_coat_that_was_taken_off_or_undone_or_has_left_is_doubted_no_more():
    shop = coated()
    shop.must(CorrectAir(at(1), None), 30)
    shop.must(undo("bonnet"), 31)
    shop.must(undo("bonnet"), 31)
    assert [c.zone for c in doubted_coats(shop.state)] == ["roof"]
    shop.must(close(), 32)
    assert doubted_coats(shop.state) == ()
    assert len(doubted_coats(shop.state, shop.state.jobs.values())) == 1, "its papers still say so"


def test_a_coat_that_is_being_laid_counts_too_and_one_laid_in_unread_air_lies_on_nothing():
    shop = Shop(job((["roof", "bonnet"], LADDER)))
    shop.work("roof bonnet", "polish", 0, 1)
    shop.work("bonnet", "coat", 1, 1)
    shop.must(read_air(20, 50), 1)
    shop.must(start("roof", "coat"), 2)
    shop.must(CorrectAir(at(1), None), 3)
    assert [c.zone for c in doubted_coats(shop.state)] == ["roof"]
    shop.must(finish("roof", "coat"), 4)
    assert [c.zone for c in doubted_coats(shop.state)] == ["roof"]
