"""Opens the manual: its topics as big buttons, then one of them to read."""

from bayapp.pages.help.manual import Topic, topic_text, topics
from bayapp.pages.wanted import ShowTopic
from bayapp.screen.frame.page_stack import PageStack
from bayapp.screen.help.manual import ManualPage
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.screen.widgets.paged_choices import Portion, show_paged
from bayapp.text.language import _

MOST = 11
"""Topics on one page: with the way to the rest they are three columns of four, on the smallest screen, too."""


class ManualController:
    """Shows the topics, and the one that was touched; from there the way back leads to the topics."""

    def __init__(self, pages: PageStack, show: Show) -> None:
        self._pages, self._show = pages, show
        self._read: Topic | None = None
        self.page = ManualPage(pages.look, pages.window)
        pages.add(self.page)

    def open(self) -> None:
        """Show the topics, those first among which the one is that was read last."""
        found = topics()
        names = [topic.name for topic in found]
        first = names.index(self._read.name) // MOST * MOST if self._read else 0
        entries = [Entry(ShowTopic(topic.name), topic.title, topic.line) for topic in found]
        show_paged(_("Help"), "", entries, self.open_topic, self._show, Portion(first, MOST))

    def open_topic(self, wanted: ShowTopic) -> None:
        """Show a topic from its first page.

        Raises:
            StopIteration: there is no topic of this name.
        """
        self._read = next(topic for topic in topics() if topic.name == wanted.name)
        self.page.show_topic(self._read.title, topic_text(self._read.name))
        self._pages.show(self.page)
