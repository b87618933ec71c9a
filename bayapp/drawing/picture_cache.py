"""Caches pictures of what seldom changes, so that a repaint copies instead of drawing."""

from collections.abc import Callable, Hashable

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap, QTransform

Draw = Callable[[QPainter], None]


class PictureCache:
    """Pictures by key for one transform; a new size clears them.

    Beyond ``limit`` the one goes that was not painted for longest. Twice what is painted at once is enough to turn to
    another car and back: were more kept of what zones looked like hours ago, memory would grow the whole day.
    """

    def __init__(self, limit: int) -> None:
        self._limit = limit
        self._pictures: dict[Hashable, QPixmap] = {}
        self._made_for: tuple[float, ...] = ()

    def paint(self, painter: QPainter, transform: QTransform, key: Hashable, box: QRectF, draw: Draw) -> None:
        """Paint what ``draw`` draws in drawing units within ``box``, from a cached picture if there is one."""
        ratio = painter.device().devicePixelRatio()
        made_for = (transform.m11(), transform.dx(), transform.dy(), ratio)
        if made_for != self._made_for:
            self._pictures, self._made_for = {}, made_for
        place = transform.mapRect(box).toAlignedRect()
        picture = self._pictures.pop(key, None)
        if picture is None:
            picture = QPixmap(place.size() * ratio)
            picture.setDevicePixelRatio(ratio)
            picture.fill(Qt.GlobalColor.transparent)
            with QPainter(picture) as canvas:
                canvas.setRenderHint(QPainter.RenderHint.Antialiasing)
                canvas.translate(-place.x(), -place.y())
                canvas.setTransform(transform, combine=True)
                draw(canvas)
        self._keep(key, picture)
        painter.drawPixmap(place.topLeft(), picture)

    def _keep(self, key: Hashable, picture: QPixmap) -> None:
        if len(self._pictures) >= self._limit:
            del self._pictures[next(iter(self._pictures))]
        self._pictures[key] = picture
