"""Which sensors a person has taken out of use, and until when, as it stands among the answers."""

from collections.abc import Mapping
from datetime import datetime

MARK = "sensor-unused|"


def subject_of(sensor: str) -> str:
    """Return the subject under which it is answered whether a sensor is used."""
    return f"{MARK}{sensor}"


def sensor_of(subject: str) -> str | None:
    """Return the sensor that an answer is about, or None where it is about something else."""
    return subject.removeprefix(MARK) if subject.startswith(MARK) else None


def unused(answers: Mapping[str, datetime | None], at: datetime) -> frozenset[str]:
    """Return the sensors that are not used at an instant."""
    found = ((sensor_of(subject), until) for subject, until in answers.items())
    return frozenset(sensor for sensor, until in found if sensor and until and until > at)
