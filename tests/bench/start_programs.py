"""What the start is measured on: the whole program, and a bare Qt window; each says "painted" and ends.

Run as ``python -m tests.bench.start_programs board STORE`` or ``python tests/bench/start_programs.py empty``, so that
the empty one imports nothing but Qt.
"""

import os
import sys
from collections.abc import Callable


def tell_and_end() -> None:
    """Say so, and leave without tidying up: the start is what is measured."""
    sys.stdout.write("painted\n")
    sys.stdout.flush()
    os._exit(0)


def empty() -> None:
    """Show a bare window until it has been painted."""
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QApplication, QWidget

    class Bare(QWidget):
        def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 (Qt's name)
            tell_and_end()

    application = QApplication([])
    window = Bare()
    window.showFullScreen()
    application.exec()


def board(store: str) -> None:
    """Start the wall as the command does, and end when the last of its parts has been painted."""
    sys.argv[1:] = ["--store", store, "--kiosk"]
    sys.meta_path.insert(0, Watcher())
    from bayapp.cli import main

    main()


class Watcher:
    """Hooks the buttons' painting as soon as their module has been loaded, and costs the start next to nothing.

    Qt paints the children of a window in the order in which they were made: "More" is the last on the board.
    """

    def find_spec(self, name: str, path: object = None, target: object = None) -> None:
        if name != "bayapp.screen.window.wall":
            return
        from PySide6.QtGui import QPaintEvent

        from bayapp.screen.widgets.glove_button import GloveButton

        sys.meta_path.remove(self)
        paint: Callable[[GloveButton, QPaintEvent], None] = GloveButton.paintEvent

        def painted(button: GloveButton, event: QPaintEvent) -> None:
            paint(button, event)
            if button.title == "More":
                tell_and_end()

        GloveButton.paintEvent = painted  # type: ignore[method-assign,assignment]


if __name__ == "__main__":
    if sys.argv[1] == "empty":
        empty()
    else:
        board(sys.argv[2])
