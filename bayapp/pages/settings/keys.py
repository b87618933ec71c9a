"""The words for keys, gestures and their actions."""

from collections.abc import Mapping
from enum import StrEnum

from bayapp.files.shop.key_settings import Gesture, KeyAction, KeySettings
from bayapp.files.shop.settings import Settings
from bayapp.text.figures import short_figure
from bayapp.text.language import _

Pair = tuple[str, Gesture]


class KeyTime(StrEnum):
    """The times by which presses are told apart."""

    LONG = "key_long_seconds"
    TWICE = "key_twice_seconds"


_SECONDS = {KeyTime.LONG: (0.5, 0.8, 1.2, 2.0), KeyTime.TWICE: (0.2, 0.4, 0.6, 0.8)}


def time_title(which: KeyTime) -> str:
    """Return the title of such a time."""
    return {KeyTime.LONG: _("A long press"), KeyTime.TWICE: _("Pressed twice")}[which]


def time_detail(now: Settings, which: KeyTime) -> str:
    """Return such a time in words."""
    words = {KeyTime.LONG: _("from {n} s on"), KeyTime.TWICE: _("within {n} s")}[which]
    return words.format(n=short_figure(getattr(now, which.value)))


def with_next_time(now: Settings, which: KeyTime) -> Settings:
    """Return the settings with the next longer time, after the longest the shortest."""
    longer = [s for s in _SECONDS[which] if s > getattr(now, which.value)]
    return now.model_copy(update={which.value: (longer or list(_SECONDS[which]))[0]})


def action_title(action: KeyAction) -> str:
    """Return the title of an action."""
    return {
        KeyAction.NEXT: _("Next step"),
        KeyAction.HEARD: _("Heard it"),
        KeyAction.UNDO: _("Undo"),
        KeyAction.BACK: _("Back"),
        KeyAction.NONE: _("Nothing"),
    }[action]


def action_sentence(action: KeyAction) -> str:
    """Return a sentence that explains an action."""
    return {
        KeyAction.NEXT: _("It presses the large button at the bottom."),
        KeyAction.HEARD: _("It answers every alert that calls."),
        KeyAction.UNDO: _("It takes back what whoever stands at the car did last, and says what that was."),
        KeyAction.BACK: _("It leads back to the board."),
        KeyAction.NONE: _("It does nothing, so that a key can be leant on."),
    }[action]


def gesture_words(gesture: Gesture) -> str:
    """Return the words for a gesture."""
    return {Gesture.PRESS: _("short"), Gesture.LONG: _("long"), Gesture.DOUBLE: _("twice")}[gesture]


def pair_words(pair: Pair) -> str:
    """Return a key and how it is pressed: "PgDown long"."""
    return _("{key} {how}").format(key=pair[0], how=gesture_words(pair[1]))


def pairs_for(keys: Mapping[str, KeySettings], action: KeyAction) -> tuple[Pair, ...]:
    """Return the keys and gestures for an action."""
    return tuple((key, how) for key, actions in keys.items() for how in Gesture if actions.action(how) is action)


def action_detail(keys: Mapping[str, KeySettings], action: KeyAction) -> str:
    """Return the keys for an action in a few words."""
    names = [pair_words(pair) for pair in pairs_for(keys, action)]
    if action is KeyAction.NEXT:
        names.append(_("every other key"))
    if action is KeyAction.BACK and "Esc" not in keys:
        names.append(_("Esc"))
    return ", ".join(names) or _("no key")


def learned(keys: Mapping[str, KeySettings], pair: Pair, action: KeyAction) -> dict[str, KeySettings]:
    """Return the keys with one more for this action."""
    key, gesture = pair
    return {**keys, key: keys.get(key, KeySettings()).with_action(gesture, action)}


def forgotten(keys: Mapping[str, KeySettings], pair: Pair) -> dict[str, KeySettings]:
    """Return the keys without the action of this one; a key left with only the usual action is dropped."""
    key, gesture = pair
    settings = keys[key].with_action(gesture, None)
    rest = {other: its for other, its in keys.items() if other != key}
    return rest if settings == KeySettings() else {**rest, key: settings}
