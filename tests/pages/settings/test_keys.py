"""What is said of keys, and that a key that was learned can be forgotten."""

from hypothesis import given
from hypothesis import strategies as st

from bayapp.files.shop.key_settings import Gesture, KeyAction, KeySettings
from bayapp.pages.settings.keys import action_detail, forgotten, learned, pairs_for

KEYS = st.dictionaries(
    st.sampled_from(["F5", "PgDown", "B", "Space"]),
    st.builds(KeySettings, press=st.sampled_from(KeyAction), long=st.none() | st.sampled_from(KeyAction)),
)


def test_the_page_tells_every_key_that_does_something():
    keys = {"PgDown": KeySettings(long=KeyAction.HEARD, double=KeyAction.UNDO)}
    assert action_detail(keys, KeyAction.NEXT) == "PgDown short, every other key"
    assert action_detail(keys, KeyAction.HEARD) == "PgDown long"
    assert action_detail(keys, KeyAction.UNDO) == "PgDown twice"
    assert action_detail(keys, KeyAction.BACK) == "Esc"
    assert action_detail(keys, KeyAction.NONE) == "no key"


@given(keys=KEYS, gesture=st.sampled_from(Gesture), action=st.sampled_from(KeyAction))
def test_what_is_learned_is_done_and_what_is_forgotten_is_not(
    keys: dict[str, KeySettings], gesture: Gesture, action: KeyAction
):
    after = learned(keys, ("F5", gesture), action)
    assert ("F5", gesture) in pairs_for(after, action)
    assert {key: its for key, its in after.items() if key != "F5"} == {k: i for k, i in keys.items() if k != "F5"}
    again = forgotten(after, ("F5", gesture))
    left = again.get("F5", KeySettings()).action(gesture)
    assert left is (KeyAction.NEXT if gesture is Gesture.PRESS else None)
