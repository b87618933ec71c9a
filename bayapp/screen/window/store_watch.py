"""Lets the bay look at its store, twice a second, and tells what has become of it."""

from PySide6.QtCore import QObject, QTimer, Signal

from bayapp.pages.board.store_notice import after_reading, found_sentences, trouble_now
from bayapp.pages.selection import Selection
from bayapp.pages.wanted import StoreFound, StoreTrouble
from bayapp.record import BackgroundWriteFailed, StoreProblem
from bayapp.screen.frame.page_stack import PageStack

LOOK_MS = 500


class StoreLook(QObject):
    """Looks at the store while the window is open.

    Signals:
        changed: it came into trouble, or out of it.
        saved(Path): a journal that was gone from its folder was copied; the wall must start anew to go on with that.
    """

    changed = Signal()
    saved = Signal(object)

    def __init__(self, selection: Selection, pages: PageStack) -> None:
        super().__init__(pages)
        self._bay, self._pages = selection.bay, pages
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self.look)
        self._timer.start()

    def stop(self) -> None:
        """Stop looking."""
        self._timer.stop()

    def look(self) -> None:
        """Look once; a trouble that is new is shown."""
        if not self._bay.store_watch.look():
            return
        self.changed.emit()
        self.tell()

    def tell(self) -> None:
        """Show why nothing is recorded, or what was found wrong, if either is so."""
        trouble, found = trouble_now(self._bay), found_sentences(self._bay.store_watch.found)
        if trouble:
            self._pages.want(StoreTrouble(trouble))
        elif found:
            self._pages.want(StoreFound(found))

    def write_back(self) -> None:
        """Copy the journal from the file that is still open, or show why that cannot be done."""
        try:
            self.saved.emit(self._bay.store_watch.save_open())
        except StoreProblem as problem:
            self._pages.want(StoreTrouble(BackgroundWriteFailed(problem.what, problem.where, problem.remedy)))

    def tell_on_touch(self) -> None:
        """Show the same because a person asked; what was only to be known is off the strip then."""
        self.tell()
        watch = self._bay.store_watch
        if not watch.trouble:
            watch.take_found(after_reading(watch.found))
            self.changed.emit()
