"""The kinds of alert. Imports nothing of ours, so that the sound process stays small."""

from enum import StrEnum


class AlertKind(StrEnum):
    """Why the screen calls; each kind has its own tone."""

    OPENED = "opened"
    CLOSING = "closing"
    LAPSED = "lapsed"
    CURED = "cured"
    HANDOVER = "handover"
    ATTENTION = "attention"
