"""The manual on the wall: every topic on every screen, whole, in letters that are read from 1.5 m."""

from collections.abc import Callable, Iterator
from itertools import pairwise

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QTextBlock
from PySide6.QtTest import QTest

from bayapp.drawing.palette import PALETTES
from bayapp.pages.help.manual import topic_text, topics
from bayapp.screen.help.manual import ManualPage
from bayapp.screen.widgets import glove_button
from bayapp.screen.widgets.look import Look
from bayapp.screen.widgets.measure import Measure, board_layout, fitted, measure_of
from tests.screen.test_glove_audit import SCREENS
from tests.screen.test_lettering_audit import minutes_of_arc

LONG = "\n\n".join(f"Paragraph {n} says something of about so many words, and ends." for n in range(60))
NEAR_MM = 1_500
LEFT = Qt.MouseButton.LeftButton

Make = Callable[..., ManualPage]


def measure(screen: str) -> Measure:
    (wide, tall), inch = SCREENS[screen]
    return fitted(measure_of(None, wide, tall, inch), wide, tall)


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> Iterator[Make]:
    """Makes the page as large as it is on a wall; ``alert`` gives the room that an alert leaves."""
    monkeypatch.setattr(glove_button, "SETTLE_MS", 0)
    pages = []

    def make(screen: str = "1920x1080 at 27 inch", share: float = 1.0) -> ManualPage:
        (wide, tall), found = SCREENS[screen][0], measure(screen)
        layout = board_layout(wide / found.px_per_mm, tall / found.px_per_mm)
        page = ManualPage(Look(PALETTES["dark"], found))
        size = found.rect(layout.car).size().toSize()
        page.resize(size.width(), round(size.height() * share))
        page.show()
        pages.append(page)
        return page

    yield make
    for page in pages:
        page.close()
        page.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def blocks(page: ManualPage) -> Iterator[QTextBlock]:
    block = page.document.begin()
    while block.isValid():
        yield block
        block = block.next()


def stretches(block: QTextBlock) -> Iterator[tuple[str, QFont]]:
    """The words of a block that are set in one font, and that font."""
    stretch = block.begin()
    while not stretch.atEnd():
        piece = stretch.fragment()
        yield piece.text(), piece.charFormat().font()
        stretch += 1


def lines(page: ManualPage) -> Iterator[tuple[str, QRectF]]:
    """Every line of the topic: its words, and where it lies in the whole text, in pixels."""
    for block in blocks(page):
        box = page.document.documentLayout().blockBoundingRect(block)
        for n in range(block.layout().lineCount()):
            line = block.layout().lineAt(n)
            words = block.text()[line.textStart() : line.textStart() + line.textLength()]
            yield words, line.naturalTextRect().translated(box.topLeft())


def shown_words(page: ManualPage) -> list[str]:
    """The lines of the page that is shown."""
    tall = page.document.pageSize().height()
    return [words for words, box in lines(page) if page.number * tall <= box.center().y() < (page.number + 1) * tall]


@pytest.mark.parametrize("alert", [False, True])
@pytest.mark.parametrize("screen", SCREENS)
def test_no_line_of_any_topic_is_cut_off(made: Make, screen: str, alert: bool):
    page = made(screen, alert)
    wide, tall = page.text_box().width(), page.text_box().height()
    for topic in topics():
        page.show_topic(topic.title, topic_text(topic.name))
        for words, box in lines(page):
            assert box.right() <= wide + 1, words
            assert int((box.top() + 1) // tall) == int((box.bottom() - 1) // tall), words


@pytest.mark.parametrize("screen", SCREENS)
def test_every_letter_is_read_from_one_and_a_half_metres(made: Make, screen: str):
    """At least 16 minutes of arc (ISO 9241-303, from memory)."""
    page = made(screen)
    for topic in topics():
        page.show_topic(topic.title, topic_text(topic.name))
        for block in blocks(page):
            for words, font in stretches(block):
                tall = QFontMetricsF(font).capHeight() / measure(screen).px_per_mm
                assert minutes_of_arc(tall, NEAR_MM) >= 16, words


def test_two_buttons_lead_through_all_pages_and_back(made: Make):
    page = made()
    page.show_topic("Long", LONG)
    assert page.pages > 3
    seen = shown_words(page)
    assert not page.back.isVisible()
    while page.on.isVisible():
        QTest.mouseClick(page.on, LEFT)
        seen += shown_words(page)
    assert page.number == page.pages - 1
    assert seen == [words for words, _box in lines(page)]
    while page.back.isVisible():
        QTest.mouseClick(page.back, LEFT)
    assert page.number == 0


def test_a_topic_of_one_page_has_no_buttons_to_turn_it(made: Make):
    page = made()
    page.show_topic("Short", "One sentence.")
    assert not page.on.isVisible()
    assert not page.back.isVisible()


def test_another_topic_begins_at_its_first_page(made: Make):
    page = made()
    page.show_topic("Long", LONG)
    QTest.mouseClick(page.on, LEFT)
    page.show_topic("Another", LONG)
    assert page.number == 0


def test_a_page_that_shrinks_leaves_the_reader_at_the_same_words(made: Make):
    page, small = made(), made(share=0.85)
    page.show_topic("Long", LONG)
    for _turn in range(3):
        QTest.mouseClick(page.on, LEFT)
    first = shown_words(page)[0]
    page.resize(small.size())
    assert first in shown_words(page)


@pytest.mark.parametrize("share", [1.0, 0.85])
def test_no_heading_stands_alone_at_the_foot_of_a_page(made: Make, share: float):
    page = made(share=share)
    tall = page.text_box().height()
    for topic in topics():
        page.show_topic(topic.title, topic_text(topic.name))
        headings = {block.text() for block in blocks(page) if block.blockFormat().headingLevel()}
        for (words, box), (_after, below) in pairwise(lines(page)):
            if words in headings:
                assert int(box.center().y() // tall) == int(below.center().y() // tall), (topic.name, words)


@pytest.mark.parametrize("screen", SCREENS)
def test_the_number_before_an_item_of_a_list_has_room(made: Make, screen: str):
    page = made(screen)
    page.show_topic("Steps", "\n".join(f"{n}. step" for n in range(1, 12)))
    for block in blocks(page):
        number = block.textList().itemText(block)
        (font,) = {font.key(): font for _words, font in stretches(block)}.values()
        wide = QFontMetricsF(font).horizontalAdvance(number)
        assert number.strip()
        assert wide < page.document.indentWidth()


def test_what_is_typed_at_a_keyboard_is_set_in_another_face(made: Make):
    page = made()
    page.show_topic("Commands", "Type `bayapp doctor` at the keyboard.")
    (block,) = blocks(page)
    faces = {words: font.family() for words, font in stretches(block)}
    assert faces["bayapp doctor"] != faces["Type "]


@pytest.mark.parametrize(("text", "side"), [("Read the board.", "left"), ("اقرأ اللوحة.", "right")])
def test_a_paragraph_begins_where_its_own_language_does(made: Make, text: str, side: str):
    """Not where the page does: where nothing is translated, English stands on a page that runs right to left."""
    page = made()
    page.show_topic("One", text)
    ((_words, line),) = lines(page)
    middle = page.document.pageSize().width() / 2
    assert line.right() < middle if side == "left" else line.left() > middle


def test_the_text_is_painted_in_the_colour_of_the_theme(made: Make):
    page = made()
    page.show_topic("Long", LONG)
    picture, box = page.grab().toImage(), page.text_box().toRect()
    spots = [(x, y) for x in range(box.left(), box.right()) for y in range(box.top(), box.top() + 40)]
    assert PALETTES["dark"].text in {picture.pixelColor(x, y).name() for x, y in spots}
