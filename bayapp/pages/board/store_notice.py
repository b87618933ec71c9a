"""What the board says of the store, where nothing can be recorded or something recorded is not there."""

from bayapp.bay import Bay
from bayapp.record import BackgroundWriteFailed
from bayapp.record.findings import (
    FileDamaged,
    FileRebuilt,
    Finding,
    IndexRebuilt,
    SignOfLifeAltered,
    WitnessMissing,
    WitnessUnreadable,
)
from bayapp.text.language import _


def store_words(bay: Bay) -> str:
    """Return the few words for the strip; nothing while all is well."""
    if bay.store_watch.trouble:
        return _("NOT RECORDED")
    return _("Look at the journal") if bay.store_watch.found else ""


def trouble_now(bay: Bay) -> BackgroundWriteFailed | None:
    """Return why nothing can be recorded just now."""
    trouble = bay.store_watch.trouble
    return BackgroundWriteFailed(trouble.what, trouble.where, trouble.remedy) if trouble else None


def after_reading(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return what still stands on the strip once a person has read it: what was only to be known is gone."""
    known = (FileRebuilt, SignOfLifeAltered, WitnessMissing, WitnessUnreadable)
    return tuple(finding for finding in found if not isinstance(finding, known))


def found_sentences(found: tuple[Finding, ...]) -> tuple[str, ...]:
    """Return what was found wrong with the journal, and what to do."""
    if not found:
        return ()
    first = found[0].words
    if isinstance(found[0], WitnessMissing | WitnessUnreadable):
        return (first, _("It is written anew by now. See whether the last things done today are on the board."))
    if isinstance(found[0], SignOfLifeAltered):
        return (first, _("See whether the clocks on the board are right."))
    if isinstance(found[0], FileRebuilt):
        return (first, _("Nothing is missing. Look after the disk, and make a backup now."))
    if isinstance(found[0], IndexRebuilt):
        return (first, _("Close the wall and start it again: what was looked up by it before may be missing here."))
    if all(isinstance(finding, FileDamaged) for finding in found):
        return (
            first,
            _("Every entry is as it was written. Close the wall and start it again: it then mends the file."),
        )
    return (
        first,
        _("The board may show less than was done. Put the latest good backup back: More, Settings, Backup."),
    )
