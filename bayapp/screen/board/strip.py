"""The line at the top: car, people, air, sound, time."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.car_colours import body_colour
from bayapp.drawing.digits import digits_width, paint_digits
from bayapp.job.model.ids import Person, Urgency
from bayapp.pages.board.clock_question import ClockNotice, notice_words
from bayapp.pages.board.strip import Strip
from bayapp.screen.board.bay_button import BayButton
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import page_painter, place
from bayapp.screen.widgets.typeset import cap_font
from bayapp.text.language import _

GAP = 6.5
MOST_PEOPLE = 4
LEAST_PERSON = 26.0
SHORT_CAR = 96.0
AIR = 46.0
WIDEST_AIR = 62.0
LEAST_BAY, WIDEST_BAY = 30.0, 62.0
NARROW_SOUND = 46.0
ROOMY = 3


class StripBar(QWidget):
    """The line at the top.

    Signals:
        cars_wanted: the car's name was touched.
        bay_chosen: a car's button was touched, of several; carries its job.
        all_bays_wanted: the button of the shown car was touched.
        person_chosen: a person's button was touched; carries the name.
        more_people_wanted: the button for more people was touched.
        air_wanted: the reading of the air was touched.
        sound_wanted: the sound sign was touched.
        clock_wanted: the notice about the clock was touched; carries the ClockNotice that it shows.
        store_wanted: the notice about the store was touched.
    """

    cars_wanted = Signal()
    bay_chosen = Signal(str)
    all_bays_wanted = Signal()
    person_chosen = Signal(str)
    more_people_wanted = Signal()
    air_wanted = Signal()
    sound_wanted = Signal()
    clock_wanted = Signal(object)
    store_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.shown: Strip | None = None
        self.car = GloveButton(look, self)
        self.car.clicked.connect(self.cars_wanted)
        self.air = GloveButton(look, self)
        self.air.clicked.connect(self.air_wanted)
        self.sound = GloveButton(look, self)
        self.sound.clicked.connect(self.sound_wanted)
        self.clock = GloveButton(look, self)
        self.clock.clicked.connect(self._clock_touched)
        self.store = GloveButton(look, self)
        self.store.clicked.connect(self.store_wanted)
        self.store.hide()
        self.bays: list[BayButton] = []
        self.people: list[GloveButton] = []
        self.more_people = GloveButton(look, self)
        self.more_people.clicked.connect(self.more_people_wanted)
        self.more_people.hide()
        self._time_box = QRectF()

    def show_strip(self, strip: Strip, no_sound: str = "") -> None:
        """Show the line as it is now."""
        old, self.shown = self.shown, strip
        paint = body_colour(strip.colour)
        self.car.show_words(strip.title, strip.promise, glyph="car", title_mm=6.4, style=Style.QUIET, fill=paint)
        self._show_bays(strip)
        self.air.show_words(strip.air, strip.air_detail, title_mm=4.6)
        self._show_sound(strip, no_sound)
        self.store.setVisible(bool(strip.store))
        self.store.show_words(strip.store, _("touch for why"), badge=Urgency.LAPSED, title_mm=5.0, style=Style.FILLED)
        self.clock.setVisible(strip.clock is not None and not strip.store)
        if strip.clock is ClockNotice.QUESTION:
            words = notice_words(strip.clock)
            self.clock.show_words(words, badge=Urgency.LAPSED, title_mm=5.0, style=Style.FILLED)
        elif strip.clock:
            self.clock.show_words(notice_words(strip.clock), glyph="clock", title_mm=4.2, style=Style.QUIET)
        self._show_people(strip)
        if old is None or old.people != strip.people or self._shape(old) != self._shape(strip):
            self._lay_out()
        if old is None or old.time != strip.time:
            self.update()

    def _show_bays(self, strip: Strip) -> None:
        """Show a button for each car instead of the one car's name, if there are several."""
        self.car.setVisible(not strip.bays)
        while len(self.bays) < len(strip.bays):
            button, number = BayButton(self._look, self), len(self.bays)
            button.clicked.connect(lambda _=False, n=number: self._bay_touched(n))
            self.bays.append(button)
        for n, button in enumerate(self.bays):
            button.setVisible(n < len(strip.bays))
            if n < len(strip.bays):
                button.show_bay(strip.bays[n])

    def _bay_touched(self, number: int) -> None:
        if self.shown is None or number >= len(self.shown.bays):
            return
        bay = self.shown.bays[number]
        if bay.shown:
            self.all_bays_wanted.emit()
        else:
            self.bay_chosen.emit(bay.job)

    def _clock_touched(self) -> None:
        if self.shown and self.shown.clock:
            self.clock_wanted.emit(self.shown.clock)

    def _show_sound(self, strip: Strip, no_sound: str) -> None:
        if no_sound:
            self.sound.show_words(_("NO SOUND"), no_sound, badge=Urgency.LAPSED, title_mm=5.2, style=Style.FILLED)
        elif strip.sound_due:
            check = _("Check the sound") if not strip.bays else _("Check")
            self.sound.show_words(check, glyph="sound", title_mm=4.6, style=Style.OUTLINED)
        elif strip.sound_unheard:
            self.sound.show_words(
                _("NOT HEARD"), _("check again"), badge=Urgency.LAPSED, title_mm=5.2, style=Style.FILLED
            )
        else:
            self.sound.show_words(_("sound on"), glyph="sound", title_mm=4.2, style=Style.QUIET)

    def _shape(self, strip: Strip) -> tuple[bool, bool, bool, int]:
        return (strip.clock is not None, bool(strip.store), bool(strip.air), len(strip.bays))

    def _show_people(self, strip: Strip) -> None:
        shown = self._shown_people(strip)
        while len(self.people) < len(shown):
            button, number = GloveButton(self._look, self), len(self.people)
            button.clicked.connect(lambda _=False, n=number: self._person_touched(n))
            button.hide()
            self.people.append(button)
        for n, button in enumerate(self.people):
            button.setVisible(n < len(shown))
            if n < len(shown):
                style = Style.CHOSEN if shown[n] == strip.by else Style.OUTLINED
                doing = strip.doings.get(shown[n], "") if len(strip.bays) <= ROOMY else ""
                button.show_words(shown[n], doing, glyph="person", title_mm=5.6, style=style)
        self.more_people.setVisible(len(shown) < len(strip.people))
        self.more_people.show_words(_("More people"), title_mm=4.6)

    def _person_touched(self, number: int) -> None:
        if self.shown and number < len(shown := self._shown_people(self.shown)):
            self.person_chosen.emit(shown[number])

    def _shown_people(self, strip: Strip) -> tuple[Person, ...]:
        """Return the people with a button; if not all fit, the last place is for the way to the others."""
        car = SHORT_CAR if not strip.bays else len(strip.bays) * (LEAST_BAY + GAP)
        fitting = int((self._free_mm(strip) - car) / (LEAST_PERSON + GAP))
        most = max(1 if strip.bays else 2, min(MOST_PEOPLE, fitting))
        if len(strip.people) <= most:
            return strip.people
        first = strip.people[: most - 1]
        return first if strip.by in first or strip.by not in strip.people else (*first[:-1], strip.by)

    def _clock_mm(self, strip: Strip) -> float:
        return 74 if strip.store or strip.clock is ClockNotice.QUESTION else 50 if strip.clock else 0

    def _free_mm(self, strip: Strip) -> float:
        """Return the width for the car's name and the people."""
        taken = (AIR if strip.air else 0, self._clock_mm(strip), self._sound_mm(strip), 63)
        return self.width() / self._look.measure.px_per_mm - sum(GAP + wide for wide in taken if wide)

    def _sound_mm(self, strip: Strip) -> float:
        return 62 if not strip.bays else NARROW_SOUND

    def _bay_mm(self, free: float, people: int, count: int) -> float:
        """Return the width of a car's button: what the people leave, divided equally."""
        return max(LEAST_BAY, min(WIDEST_BAY, (free - people * (LEAST_PERSON + GAP)) / count - GAP))

    def _lay_out(self) -> None:
        mm, height, x = self._look.mm, self.height(), 0.0
        if self.shown is None:
            return
        self._show_people(self.shown)  # how many have a button depends on the room
        people = [b for b in (*self.people, self.more_people) if not b.isHidden()]
        clock_wide, free = self._clock_mm(self.shown), self._free_mm(self.shown)
        narrow = free < 118 + len(people) * (52 + GAP)
        person_wide = 52 if not narrow else max(LEAST_PERSON, min(44, (free - SHORT_CAR) / max(1, len(people)) - GAP))

        def append(button: GloveButton, wide: float) -> None:
            nonlocal x
            place(button, QRectF(round(x), 0, round(mm(wide)), height))
            x += mm(wide + GAP)

        bays = [b for b in self.bays if not b.isHidden()]
        if bays:
            wide = self._bay_mm(free, len(people), len(bays))
            left = free - len(bays) * (wide + GAP)
            person_wide = max(LEAST_PERSON, min(52, left / max(1, len(people)) - GAP))
            for bay in bays:
                append(bay, wide)
        else:
            append(self.car, 118 if not narrow else SHORT_CAR)
        for button in people:
            append(button, person_wide)
        right = self.width() - mm(63)
        self._time_box = QRectF(right, 0, mm(62), height)
        sound_wide = mm(self._sound_mm(self.shown))
        place(self.sound, QRectF(round(right - mm(GAP) - sound_wide), 0, round(sound_wide), height))
        end = right - mm(GAP) - sound_wide
        if clock_wide:
            wide = mm(clock_wide)
            notice = self.clock if self.store.isHidden() else self.store
            place(notice, QRectF(round(end - mm(GAP) - wide), 0, round(wide), height))
            end -= mm(GAP) + wide
        air_wide = min(mm(WIDEST_AIR), max(0.0, end - x - mm(GAP)))
        place(self.air, QRectF(round(end - mm(GAP) - air_wide), 0, round(air_wide), height))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.shown is None:
            return
        with page_painter(self) as painter:
            mm, palette = self._look.mm, self._look.palette
            font = cap_font(mm(8.6))
            while digits_width(self.shown.time, font) > self._time_box.width():
                font = cap_font(mm(7.4))
                break
            paint_digits(painter, self._time_box, self.shown.time, font, palette.text)
