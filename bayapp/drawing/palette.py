"""The themes: every colour of the wall, named. A theme is one ``Palette`` in ``PALETTES`` and nothing elsewhere.

The state colours were found by search: any two differ by CIEDE2000 of 15 or more in normal
vision and in full simulated protan, deutan and tritan vision, and each stands 3:1 against what
it is drawn on. One exception, by choice: "open" on the light theme is a yellow that is always
drawn with ``open_rim`` around it or as ink on it, and counts by that rim.
"""

from dataclasses import dataclass

from bayapp.drawing.colour_math import mix
from bayapp.job.model.ids import Urgency
from bayapp.job.model.vehicle import Surface
from bayapp.text.language import later

LAYERS_SHOWN = 5


@dataclass(frozen=True)
class Palette:
    """One theme, colours as ``#rrggbb``.

    Attributes:
        name: what settings and the command line call it.
        title: what people read on the settings page, still to be looked up in the catalogue.
        board: behind everything.
        strip: the bar along the edge of a page.
        tile: a card or button on the board.
        tile_raised: a card or button that stands out from its tile.
        chassis, chassis_edge: the car's silhouette under the zones, and the line around it.
        zone, zone_worked: fill of a quiet zone that is untouched, and of one that has been begun.
        glass, glass_worked, tyre, tyre_worked: the same where glass or rubber should be seen as such.
        away_line, away_text: outline and name of a zone that is not in the job, on the silhouette.
        grain: strokes and dots of a quiet zone.
        sheen: the polished band and the wiped pane of a quiet zone.
        solid: a quiet zone that is buffed.
        detail: handles, spokes and creases.
        text, text_quiet: words on board, tile, plate and halo.
        halo: around names that stand on a texture.
        plate: under a badge and its time.
        track: the empty part of a time track; a divider.
        ring, ring_edge: around the zone that is next, and the line on either side of it.
        flag, flag_text: the NEXT flag and its words.
        pressed: what is laid over a button while it is held down, as ``#aarrggbb``.
        slab_button, slab_button_text, slab_button_quiet: a button on a slab of a state's colour, and its words.
        open_rim: the rim of "open" where its own colour is too pale, else its colour.
        sheen_share: how much of the state colour the sheen of a running zone has.
        tint_share: how much of the state colour lies under a texture, at no layer.
        tint_step: how much each layer adds.
        states: the colour of each state of urgency.
        inks: words and shapes on a slab of the state's colour.
    """

    name: str
    title: str
    board: str
    strip: str
    tile: str
    tile_raised: str
    chassis: str
    chassis_edge: str
    zone: str
    zone_worked: str
    glass: str
    glass_worked: str
    tyre: str
    tyre_worked: str
    away_line: str
    away_text: str
    grain: str
    sheen: str
    solid: str
    detail: str
    text: str
    text_quiet: str
    halo: str
    plate: str
    track: str
    ring: str
    ring_edge: str
    flag: str
    flag_text: str
    pressed: str
    slab_button: str
    slab_button_text: str
    slab_button_quiet: str
    open_rim: str
    sheen_share: float
    tint_share: float
    tint_step: float
    states: dict[Urgency, str]
    inks: dict[Urgency, str]

    def state(self, urgency: Urgency) -> str:
        """Return the colour of a state: slabs, badges, tracks."""
        return self.states[urgency]

    def ink_on(self, urgency: Urgency) -> str:
        """Return the colour of words and shapes on a slab of the state's colour."""
        return self.inks[urgency]

    def line(self, urgency: Urgency) -> str:
        """Return the colour of strokes and rims of a state: its own, or the dark rim of a pale "open"."""
        return self.open_rim if urgency is Urgency.OPEN else self.states[urgency]

    def tint(self, urgency: Urgency, layers: int = 0) -> str:
        """Return the fill under a texture; it grows stronger with the layers laid."""
        if self.pale_open(urgency):
            return self.states[urgency]
        share = self.tint_share + self.tint_step * min(layers, LAYERS_SHOWN)
        return mix(self.states[urgency], self.zone, share)

    def sheen_of(self, urgency: Urgency) -> str:
        """Return the colour of the sheen of a zone whose clock runs: the quiet sheen, tinted with the state's colour.

        A pale "open" fills the zone, and its sheen is paler still.
        """
        if self.pale_open(urgency):
            return mix(self.states[urgency], self.zone, 0.4)
        return mix(self.states[urgency], self.sheen, self.sheen_share)

    def solid_of(self, urgency: Urgency) -> str:
        """Return the fill of a buffed zone whose clock runs; muted while it only waits, behind zones to work on."""
        state = self.states[urgency]
        return mix(state, self.zone, 0.5) if urgency is Urgency.WAITING else state

    def plate_fill(self, urgency: Urgency) -> str:
        """Return the fill of a badge plate."""
        return self.states[urgency] if self.pale_open(urgency) else self.plate

    def quiet_fill(self, surface: Surface, worked: bool) -> str:
        """Return the fill of a zone that no clock runs on."""
        if surface in ("glass", "screen"):
            return self.glass_worked if worked else self.glass
        if surface == "tyre":
            return self.tyre_worked if worked else self.tyre
        return self.zone_worked if worked else self.zone

    def pale_open(self, urgency: Urgency) -> bool:
        """Whether this state is so pale in this theme that it needs its dark rim."""
        return urgency is Urgency.OPEN and self.open_rim != self.states[Urgency.OPEN]


_NEAR_BLACK = "#10161c"
_WHITE = "#ffffff"

DARK = Palette(
    name="dark",
    title=later("dark"),
    board="#12161b",
    strip="#1b2128",
    tile="#1c222a",
    tile_raised="#262e38",
    chassis="#07090c",
    chassis_edge="#2b343d",
    zone="#1d232a",
    zone_worked="#2a3138",
    glass="#182c3c",
    glass_worked="#203342",
    tyre="#101317",
    tyre_worked="#1d2126",
    away_line="#4d5964",
    away_text="#9aa4ad",
    grain="#8f99a3",
    sheen="#59616a",
    solid="#70767a",
    detail="#0a0d10",
    text="#f4f6f7",
    text_quiet="#c3ccd4",
    halo="#12161b",
    plate="#0c1014",
    track="#3b4650",
    ring=_WHITE,
    ring_edge="#07090c",
    flag=_WHITE,
    flag_text=_NEAR_BLACK,
    pressed="#2effffff",
    slab_button="#262e38",
    slab_button_text="#f4f6f7",
    slab_button_quiet="#f4f6f7",
    open_rim="#faf23c",
    sheen_share=0.2,
    tint_share=0.12,
    tint_step=0.022,
    states={
        Urgency.IDLE: "#6c6f68",
        Urgency.WORKING: "#d6e4ff",
        Urgency.WAITING: "#3b86ef",
        Urgency.OPEN: "#faf23c",
        Urgency.CLOSING: "#e19349",
        Urgency.LAPSED: "#e1209f",
        Urgency.FINISHED: "#7adaba",
    },
    inks={
        Urgency.IDLE: _NEAR_BLACK,
        Urgency.WORKING: _NEAR_BLACK,
        Urgency.WAITING: _NEAR_BLACK,
        Urgency.OPEN: _NEAR_BLACK,
        Urgency.CLOSING: _NEAR_BLACK,
        Urgency.LAPSED: _WHITE,
        Urgency.FINISHED: _NEAR_BLACK,
    },
)

LIGHT = Palette(
    name="light",
    title=later("light"),
    board="#f3f1ea",
    strip="#ffffff",
    tile="#ffffff",
    tile_raised="#e9e6dd",
    chassis="#39424b",
    chassis_edge="#39424b",
    zone="#f7f5ef",
    zone_worked="#e9e6de",
    glass="#dfe9ee",
    glass_worked="#d3e0e7",
    tyre="#d5d4cf",
    tyre_worked="#cbcac4",
    away_line="#6d7780",
    away_text="#c3ccd4",
    grain="#656d73",
    sheen="#a9aba9",
    solid="#8b8f92",
    detail="#a5a7a6",
    text=_NEAR_BLACK,
    text_quiet="#39424b",
    halo="#fbfaf6",
    plate="#ffffff",
    track="#bdb9ad",
    ring=_NEAR_BLACK,
    ring_edge=_WHITE,
    flag=_NEAR_BLACK,
    flag_text=_WHITE,
    pressed="#28000000",
    slab_button=_NEAR_BLACK,
    slab_button_text=_WHITE,
    slab_button_quiet="#f3f1ea",
    open_rim=_NEAR_BLACK,
    sheen_share=0.3,
    tint_share=0.05,
    tint_step=0.018,
    states={
        Urgency.IDLE: "#7f818e",
        Urgency.WORKING: "#10161c",
        Urgency.WAITING: "#1a7ae4",
        Urgency.OPEN: "#ffe21a",
        Urgency.CLOSING: "#c16c10",
        Urgency.LAPSED: "#971a7c",
        Urgency.FINISHED: "#336e59",
    },
    inks={
        Urgency.IDLE: _NEAR_BLACK,
        Urgency.WORKING: _WHITE,
        Urgency.WAITING: _NEAR_BLACK,
        Urgency.OPEN: _NEAR_BLACK,
        Urgency.CLOSING: _NEAR_BLACK,
        Urgency.LAPSED: _WHITE,
        Urgency.FINISHED: _WHITE,
    },
)

PALETTES = {palette.name: palette for palette in (DARK, LIGHT)}
"""Every theme by its name, in the order in which a touch on the settings page goes round."""


def next_theme(name: str) -> Palette:
    """Return the theme after this one; the first again after the last."""
    names = list(PALETTES)
    return PALETTES[names[(names.index(name) + 1) % len(names)]]
