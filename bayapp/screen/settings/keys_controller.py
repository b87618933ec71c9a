"""Assigns keys and foot switches: choose an action, then press the key. Joins page, settings and keys."""

from collections.abc import Callable

from PySide6.QtCore import QObject

from bayapp.files.shop.key_settings import Gesture, KeyAction, KeySettings
from bayapp.files.shop.settings import Settings
from bayapp.pages.settings.keys import (
    KeyTime,
    action_detail,
    action_sentence,
    action_title,
    forgotten,
    gesture_words,
    learned,
    pair_words,
    pairs_for,
    time_detail,
    time_title,
    with_next_time,
)
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.input.foot_switch import FootSwitch
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _

MOST_FORGOTTEN = 3


class KeysController(QObject):
    """Shows what each key does, and assigns a key by pressing it."""

    def __init__(self, pages: PageStack, settings: ShopSettings, switch: FootSwitch, show: Show) -> None:
        super().__init__(pages)
        self._pages, self._settings, self._switch, self._show = pages, settings, switch, show
        self._action = KeyAction.NEXT
        settings.changed.connect(self._use)
        switch.learned.connect(self._learned)
        self._use(None, settings.read())

    def _use(self, before: object, now: Settings) -> None:
        self._switch.use(now.keys, now.key_long_seconds, now.key_twice_seconds)

    def open(self) -> None:
        """Show what each key does."""
        self._show_keys(_("Touch what a press is to do, then press the switch."))

    def _show_keys(self, subtitle: str) -> None:
        now = self._settings.read()
        entries: list[Entry[KeyAction | KeyTime]] = [
            *(Entry(action, action_title(action), action_detail(now.keys, action)) for action in KeyAction),
            *(Entry(which, time_title(which), time_detail(now, which)) for which in KeyTime),
        ]
        self._show(_("Keys"), self._settings.trouble or subtitle, entries, self._choose, ())

    def _choose(self, key: KeyAction | KeyTime) -> None:
        if isinstance(key, KeyTime):
            self._settings.change(lambda now: with_next_time(now, key))
            self.open()
            return
        self._action = key
        now = self._settings.read()
        entries = [
            Entry(pair, _("Forget {key}").format(key=pair_words(pair)))
            for pair in pairs_for(now.keys, key)[-MOST_FORGOTTEN:]
        ]
        how = _("Press it shortly, or hold it for a second and let go, or press it twice: each can do something else.")
        self._show(_("Press the switch now"), action_title(key), entries, self._forget, (action_sentence(key), how))
        page, shown = self._pages.choices, self._pages.choices.showing
        self._switch.learn(lambda: page.isVisible() and page.showing == shown)

    def _learned(self, key: str, gesture: Gesture) -> None:
        title = action_title(self._action)
        subtitle = _("{key}, {how}: {what}").format(key=key, how=gesture_words(gesture), what=title)
        self._save(lambda keys: learned(keys, (key, gesture), self._action), subtitle)

    def _forget(self, key: tuple[str, Gesture]) -> None:
        self._save(lambda keys: forgotten(keys, key), _("{key} is forgotten").format(key=pair_words(key)))

    def _save(self, change: Callable[[dict[str, KeySettings]], dict[str, KeySettings]], subtitle: str) -> None:
        saved = self._settings.change(lambda now: now.model_copy(update={"keys": change(now.keys)}))
        self._show_keys(subtitle if saved else self._settings.trouble)
