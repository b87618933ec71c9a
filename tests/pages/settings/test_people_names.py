"""The people of the shop, one more or one less."""

from bayapp.files.shop.settings import Settings
from bayapp.job.model.ids import Person, StepKind
from bayapp.pages.settings.people_names import with_person, without_person


def test_a_name_typed_with_gloves_is_written_as_names_are_and_stands_once():
    now = with_person(Settings(), "ASH")
    assert now.people == ("Ash",)
    assert with_person(now, "Ash") == now
    both = with_person(now, "Zoë").model_copy(update={"cannot": {Person("Ash"): (StepKind.POLISH,)}})
    assert without_person(both, "Ash") == Settings(people=(Person("Zoë"),))
