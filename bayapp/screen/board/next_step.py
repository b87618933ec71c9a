"""The bar at the bottom of the board: the next step, an alternative, and the button for more."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from bayapp.pages.board.next_step import Offer
from bayapp.screen.widgets.glove_button import GloveButton, Style
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.mirror import place
from bayapp.text.language import _

GAP = 7.0
MORE = 44.0
MAIN_SHARE = 0.55


class NextBar(QWidget):
    """Three buttons, the first of them half the screen wide.

    Signals:
        taken: an offer was touched; carries the Offer.
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
        self.more.clicked.connect(self.more_wanted)

    def show_offers(self, main: Offer, instead: Offer | None, order: str = "") -> None:
        """Show the next step, the alternative, and in small words what must be ordered."""
        self.more.show_words(_("More"), order, glyph="more", title_mm=5.2)
        self._offers = {self.main: main, self.instead: instead}
        if main.opens_plan:
            self.main.show_words(main.title, main.detail, style=Style.CHOSEN, glyph="warning", title_mm=8.6)
        else:
            style = Style.FILLED if main.action else Style.REFUSED
            self.main.show_words(main.title, main.detail, style=style, badge=main.urgency, title_mm=10.5)
        self.instead.setVisible(instead is not None)
        if instead:
            title = instead.title if instead.opens_plan else _("or: {title}").format(title=instead.title)
            if instead.costs or instead.opens_plan:  # a badge would say that this is late: it is something else
                self.instead.show_words(title, instead.detail, glyph="warning", title_mm=6.0)
            else:
                self.instead.show_words(title, instead.detail, badge=instead.urgency, title_mm=6.0)
        self._lay_out()

    def offer_of(self, button: GloveButton) -> Offer | None:
        """Return what the big button, or the one beside it, offers."""
        return self._offers[button]

    def _take(self, button: GloveButton) -> None:
        offer = self._offers[button]
        if offer and (offer.action or offer.opens_plan) and button.settled():
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
