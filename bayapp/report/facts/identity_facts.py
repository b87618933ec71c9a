"""What tells the car of a day record from others, what its owner wishes, and what of that was put right."""

from collections.abc import Iterator, Sequence

from bayapp.job.model.identity import NOTHING_SAID, Identity
from bayapp.job.model.ids import JobId
from bayapp.job.state.events import Event, IdentityGiven
from bayapp.report.facts.day_record import IdentityCorrected, IdentityPart, IdentityRecord
from bayapp.text.figures import distance_text


def identity_record(identity: Identity) -> IdentityRecord:
    """Return what is known of a car."""
    mileage = identity.mileage
    return IdentityRecord(
        plate=identity.plate,
        key_hook=identity.key_hook,
        mileage=mileage.figure if mileage else None,
        mileage_unit=mileage.unit if mileage else None,
        wishes=identity.wishes,
    )


def identity_corrections(events: Sequence[Event], job: JobId) -> Iterator[IdentityCorrected]:
    """Yield what had been said and was then said otherwise or taken away; wishes come and go, and are none of it."""
    known = NOTHING_SAID
    for event in events:
        if not isinstance(event, IdentityGiven) or event.job != job:
            continue
        was, becomes = _parts(known), _parts(event.identity)
        for part, before in was.items():
            if before and becomes[part] != before:
                yield IdentityCorrected(part, before, becomes[part], event.at, event.by)
        known = event.identity


def _parts(identity: Identity) -> dict[IdentityPart, str]:
    mileage = distance_text(identity.mileage.figure, identity.mileage.unit) if identity.mileage else ""
    return {"plate": identity.plate, "key-hook": identity.key_hook, "mileage": mileage}
