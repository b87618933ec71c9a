"""Paints the day record as a PDF with Qt."""

from collections.abc import Callable
from datetime import tzinfo
from functools import cache

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QGuiApplication,
    QPageLayout,
    QPageSize,
    QPainter,
    QPainterPath,
    QPdfWriter,
    QPen,
)

from bayapp.drawing.badges import badge_on_plate, paint_badge
from bayapp.drawing.car_painter import CarPainter, CarWords, ZoneLook
from bayapp.drawing.form_drawing import FormDrawing
from bayapp.drawing.palette import LIGHT
from bayapp.drawing.textures import inks_for, paint_aside, paint_texture
from bayapp.job.model.identity import called
from bayapp.job.model.ids import Urgency
from bayapp.job.model.job import Job
from bayapp.paths import resource
from bayapp.report.facts.day_record import DayRecord
from bayapp.report.paper.layout import foot_of, pages_of, paint_page
from bayapp.report.paper.paper import Texture, Type
from bayapp.text.language import _

PAPERS = {"a4": QPageSize.PageSizeId.A4, "letter": QPageSize.PageSizeId.Letter}
MARGIN_MM = 10.0
DPI = 1200
PLAIN, NARROW = "B612", "DejaVu Sans Condensed"


def ready_qt() -> QGuiApplication:
    """Return the running Qt application, or one of our own that needs no display; it lives as long as the process."""
    running = QGuiApplication.instance()
    return running if isinstance(running, QGuiApplication) else _own_application()


@cache
def _own_application() -> QGuiApplication:
    return QGuiApplication(["bayapp", "-platform", "offscreen"])


@cache
def load_fonts() -> None:
    """Make the shipped fonts known to Qt, once."""
    for file in sorted(resource("fonts").glob("*.[ot]tf")):
        QFontDatabase.addApplicationFont(str(file))


def pdf_bytes(record: DayRecord, job: Job, tz: tzinfo, drawing: FormDrawing | None, paper: str = "a4") -> bytes:
    """Return the record as a PDF; needs a running ``QGuiApplication`` (see ``ready_qt``).

    Args:
        drawing: of the job's vehicle; None where it is not at hand, which the paper then says.
        paper: "a4" or "letter".
    """
    load_fonts()
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DPI)
    writer.setCreator("bayapp")
    writer.setTitle(
        _("Day record: {title}, {day}").format(
            title=called(record.title, record.identity.plate), day=record.day.isoformat()
        )
    )
    margins = QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM)
    size = QPageSize(PAPERS[paper])
    writer.setPageLayout(QPageLayout(size, QPageLayout.Orientation.Portrait, margins, QPageLayout.Unit.Millimeter))
    _paint(writer, record, job, tz, drawing)
    buffer.close()
    return bytes(data.data())


def _paint(writer: QPdfWriter, record: DayRecord, job: Job, tz: tzinfo, drawing: FormDrawing | None) -> None:
    area = writer.pageLayout().paintRect(QPageLayout.Unit.Millimeter)
    ink = PdfInk(writer, record, drawing)
    pages = pages_of(ink, record, job, tz, area.width(), area.height())
    foot = foot_of(record, tz)
    with QPainter(writer) as painter:
        ink.painter = painter
        for number in range(1, len(pages) + 1):
            if number > 1:
                writer.newPage()
            paint_page(ink, pages, number, foot, area.width(), area.height())


class PdfInk:
    """The sheet's ink on a PDF; measures without a painter, paints with one. Millimetres in, device pixels out."""

    def __init__(self, writer: QPdfWriter, record: DayRecord, drawing: FormDrawing | None) -> None:
        self.painter: QPainter | None = None
        self._writer = writer
        self._mm = writer.resolution() / 25.4
        self._palette = LIGHT
        self._looks = {
            zone.zone: ZoneLook(zone.stage, zone.layers, zone.planned, zone.urgency, aside=bool(zone.aside))
            for zone in record.zones
        }
        words = CarWords(left=_("left side"), right=_("right side"), front=_("front"))
        self._car = CarPainter(drawing, self._palette, words, cached=False) if drawing else None
        self._metrics: dict[Type, QFontMetricsF] = {}

    def width(self, text: str, how: Type) -> float:
        """Return how wide text runs, mm."""
        if how not in self._metrics:
            self._metrics[how] = QFontMetricsF(self._font(how), self._writer)
        return self._metrics[how].horizontalAdvance(text) / self._mm

    def _font(self, how: Type) -> QFont:
        font = QFont([NARROW, PLAIN] if how.narrow else [PLAIN, NARROW])
        font.setPointSizeF(how.size)
        font.setBold(how.bold)
        font.setStrikeOut(how.struck)
        font.setFeature(QFont.Tag("liga"), 0)  # joined letters would not be found again by a search in the PDF
        return font

    def _pen(self) -> QPainter:
        assert self.painter, "painting begins only once everything is measured"
        return self.painter

    def text(self, x: float, baseline: float, text: str, how: Type) -> None:
        """Write one line."""
        painter = self._pen()
        painter.setFont(self._font(how))
        painter.setPen(QColor(how.ink))
        painter.drawText(QPointF(x * self._mm, baseline * self._mm), text)

    def line(self, x1: float, y1: float, x2: float, y2: float, thick: float, ink: str) -> None:
        """Draw a line with square ends."""
        painter, mm = self._pen(), self._mm
        pen = QPen(QColor(ink), thick * mm)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(x1 * mm, y1 * mm), QPointF(x2 * mm, y2 * mm))

    def box(self, x: float, y: float, w: float, h: float, fill: str | None, edge: str | None) -> None:
        """Draw a rectangle."""
        painter, rect = self._pen(), self._rect(x, y, w, h)
        if fill:
            painter.fillRect(rect, QColor(fill))
        if edge:
            painter.setPen(QPen(QColor(edge), 0.25 * self._mm))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect)

    def car(self, x: float, y: float, w: float, h: float) -> None:
        """Draw the car as it stands, or say that there is no drawing of it."""
        if self._car is None:
            self.box(x, y, w, h, None, "#c3c8cb")
            self.text(x + 3, y + 7, _("No drawing of this vehicle is at hand."), Type(8))
            return
        self._car.paint(self._pen(), self._rect(x, y, w, h), self._looks)

    def swatch(self, x: float, y: float, w: float, h: float, texture: Texture) -> None:
        """Draw a sample of a texture at twice the scale it has on the car's drawing."""
        units = 16.0
        path = QPainterPath()
        path.addRect(QRectF(0, 0, w * units, h * units))
        inks = inks_for(self._palette, "paint", texture.stage, len(texture.layers), Urgency.IDLE)
        self._scaled(x, y, 1 / units, lambda painter: paint_texture(painter, path, texture.stage, texture.layers, inks))
        if texture.aside:
            self._scaled(x, y, 1 / units, lambda painter: paint_aside(painter, path, self._palette))

    def badge(self, x: float, y: float, size: float, urgency: Urgency) -> None:
        """Draw a badge of the clock's state."""
        rect = QRectF(0, 0, 100, 100)
        inks = badge_on_plate(self._palette, urgency)
        self._scaled(x, y, size / 100, lambda painter: paint_badge(painter, urgency, rect, inks, 0.6))

    def _scaled(self, x: float, y: float, scale: float, draw: Callable[[QPainter], None]) -> None:
        painter = self._pen()
        painter.save()
        painter.translate(x * self._mm, y * self._mm)
        painter.scale(scale * self._mm, scale * self._mm)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw(painter)
        painter.restore()

    def _rect(self, x: float, y: float, w: float, h: float) -> QRectF:
        return QRectF(x * self._mm, y * self._mm, w * self._mm, h * self._mm)
