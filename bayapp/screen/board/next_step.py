"""The bar at the bottom of the board: the next step, an alternative, and the button for more."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.drawing.car_colours import body_colour
from bayapp.pages.board.next_step import Offer
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.text.language import _

GAP = 7.0
MORE = 44.0
MAIN_SHARE = 0.55
ANOTHER_CAR = 2.0
"""How many times the usual pause a button asks for that has turned of itself from one car to the other."""


class NextBar(QWidget):
    """Three buttons, the first of them half the screen wide.

    Signals:
        taken: an offer was touched, or held where it must be; carries the Offer.
        more_wanted: the last button was touched.
    """

    taken = Signal(object)
    more_wanted = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.main = GloveButton(look, self)
        self.instead = GloveButton(look, self)
        self.more = GloveButton(look, self)
        self.more.show_words(_("More"), glyph="more", title_mm=5.2)
        self._offers: dict[GloveButton, Offer | None] = {self.main: None, self.instead: None}
        self.main.clicked.connect(lambda: self._take(self.main))
        self.instead.clicked.connect(lambda: self._take(self.instead))
        self.main.held.connect(lambda: self._take_held(self.main))
        self.instead.held.connect(lambda: self._take_held(self.instead))
        self.more.clicked.connect(self.more_wanted)

    def show_offers(self, main: Offer, instead: Offer | None, order: str = "") -> None:
        """Show the next step, the alternative, and in small words what must be ordered."""
        self.more.show_words(_("More"), order, glyph="more", title_mm=5.2)
        before, self._offers = self._offers, {self.main: main, self.instead: instead}
        self._show_main(main)
        self.instead.setVisible(instead is not None)
        if instead:
            self._show_second(instead)
        for button, offer in self._offers.items():
            self._pause_if_another(button, before[button], offer)
        self._lay_out()

    def _pause_if_another(self, button: GloveButton, before: Offer | None, after: Offer | None) -> None:
        """Take no touch for a while where a button asks for something else, though it may say the same.

        A plan that comes may turn it to another car while a finger is on its way: who looks has longer then.
        """
        if before is None or after is None or before.asks == after.asks:
            return
        unasked = before.job != after.job and not self._look.fingers.expects_change()
        button.mean_another(ANOTHER_CAR if unasked else 1.0)

    def _show_main(self, offer: Offer) -> None:
        self.main.hold_to_act = offer.hold
        if offer.opens_plan:
            self.main.show_words(offer.title, offer.detail, style=Style.CHOSEN, glyph="warning", title_mm=8.6)
            return
        if offer.asks_time:
            self.main.show_words(
                offer.title, offer.detail, style=Style.REFUSED, glyph="clock", title_mm=10.5, loud=True
            )
            return
        self.main.show_words(
            offer.title,
            offer.detail,
            style=Style.FILLED
            if (offer.action or offer.takes_in or offer.looks_over) and not offer.hold
            else Style.REFUSED,
            badge=None if offer.hold else offer.urgency,
            glyph="warning" if offer.hold else "car" if offer.elsewhere else "",
            title_mm=10.5,
            loud=offer.loud,
            fill=body_colour(offer.colour) if offer.elsewhere and not offer.hold else "",
        )

    def _show_second(self, offer: Offer) -> None:
        """Show what could be done instead.

        A badge would say of a step that costs something that this is too late, and it is something else that would be.
        """
        warns = offer.costs or offer.opens_plan
        plain = offer.title if offer.opens_plan else _("Or: {title}").format(title=offer.title)
        self.instead.show_words(
            offer.second or plain,
            offer.brief or offer.detail,
            style=Style.OUTLINED if offer.action is None else Style.SECOND,
            badge=None if warns else offer.urgency,
            glyph="warning" if warns else "car" if offer.elsewhere else "",
            title_mm=6.0,
            loud=offer.loud,
            fill=body_colour(offer.colour) if offer.elsewhere and not warns else "",
        )
        self.instead.hold_to_act = offer.hold

    def offer_of(self, button: GloveButton) -> Offer | None:
        """Return what the big button, or the one beside it, offers."""
        return self._offers[button]

    def _take(self, button: GloveButton) -> None:
        offer = self._offers[button]
        if offer is None or offer.hold:
            return
        wanted = offer.action or offer.opens_plan or offer.takes_in or offer.looks_over or offer.asks_time
        if wanted and button.settled():
            self.taken.emit(offer)
        elif wanted:
            button.tell_not_taken()

    def _take_held(self, button: GloveButton) -> None:
        offer = self._offers[button]
        if offer and offer.hold:
            self.taken.emit(offer)

    def _lay_out(self) -> None:
        mm, whole = self._look.mm, QRectF(self.rect())
        more = mm(MORE)
        wide_main = whole.width() * MAIN_SHARE if self.instead.isVisibleTo(self) else whole.width() - more - mm(GAP)
        rest = whole.width() - wide_main - more - 2 * mm(GAP)
        place(self.main, QRectF(0, 0, wide_main, whole.height()))
        place(self.instead, QRectF(wide_main + mm(GAP), 0, max(rest, 1), whole.height()))
        place(self.more, QRectF(whole.width() - more, 0, more, whole.height()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()
