"""The bays of the shop by touch: names, curtains, sensors. Joins page and journal."""

from PySide6.QtCore import QObject

from bayapp.job import SetUpPlaces
from bayapp.job.model.ids import PlaceId
from bayapp.pages.input.typed_entry import Kind, Typing
from bayapp.pages.selection import Selection
from bayapp.pages.settings.named_bays import (
    MOST,
    Curtain,
    OneBay,
    curtain_moved,
    one_less,
    one_more,
    renamed,
    row_of_bays,
    sensor_moved,
)
from bayapp.screen.frame.request_sender import RequestSender
from bayapp.screen.input.typed_entry_controller import TypedEntryController
from bayapp.screen.settings.shop_settings import ShopSettings
from bayapp.screen.widgets.choice_page import Entry, Show
from bayapp.text.language import _


class NamedBays(QObject):
    """Shows the row of bays and changes it; every change stands in the journal, because the gate goes by it."""

    def __init__(
        self,
        selection: Selection,
        settings: ShopSettings,
        sender: RequestSender,
        typing: TypedEntryController,
        show: Show,
    ) -> None:
        super().__init__(settings)
        self._selection, self._settings, self._sender = selection, settings, sender
        self._typing, self._show = typing, show

    def open(self) -> None:
        """Show the row."""
        state = self._selection.bay.state
        entries: list[Entry[OneBay | Curtain | None]] = []
        if len(state.places.bays) < MOST:  # the first, so that it keeps its place under a finger that adds another
            entries.append(Entry(None, _("Add a bay"), glyph="more"))
        for each in row_of_bays(state):
            entries.append(Entry(each, each.title, each.detail, chosen=isinstance(each, Curtain) and each.hangs))
        subtitle = _("Side by side, as they stand. Dust, water and air pass where no curtain hangs. Outside is apart.")
        self._show(_("Bays"), subtitle, entries, self._chosen, ())

    def _chosen(self, key: OneBay | Curtain | None) -> None:
        places = self._selection.bay.state.places
        if isinstance(key, OneBay):
            self._open_bay(key.bay)
        else:
            self._ask(one_more(places) if key is None else curtain_moved(places, key.after))

    def _ask(self, request: SetUpPlaces) -> None:
        if self._sender.send_or_show_refusal(request):
            self.open()

    def _open_bay(self, bay: PlaceId) -> None:
        places = self._selection.bay.state.places
        name = places.names[bay]
        entries: list[Entry[str]] = [Entry("", _("Another name"), name, glyph="note")]
        for sensor in self._settings.read().sensor:
            stands = places.sensors.get(sensor.id)
            where = _("no bay in particular") if stands is None else places.names.get(stands, stands)
            detail = _("stands here") if stands == bay else _("stands in: {place}").format(place=where)
            entries.append(Entry(sensor.id, sensor.name or sensor.id, detail, glyph="air", chosen=stands == bay))
        entries.append(Entry("-", _("Take the bay away"), _("its records keep the name"), hold=True))

        def chosen(key: str) -> None:
            now = self._selection.bay.state.places
            if not key:
                subtitle = _("Letters that are not here are typed on a keyboard.")
                typing = Typing(Kind.NAME, _("Name of the bay"), subtitle)
                self._typing.ask(typing, lambda typed: self._ask(renamed(now, bay, typed.text)))
            elif key == "-":
                self._ask(one_less(now, bay))
            elif self._sender.send_or_show_refusal(sensor_moved(now, key, bay)):
                self._open_bay(bay)

        has_sensors = bool(self._settings.read().sensor)
        self._show(name, _("Which sensors read the air here?") if has_sensors else "", entries, chosen, ())
