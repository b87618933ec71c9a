"""The owner's name and phone: what is shown, and what is said of where it is kept."""

from bayapp.text.language import _

LONGEST = 80


def owner_sentences() -> tuple[str, ...]:
    """Return what whoever tells a name should know of where it is kept."""
    return (
        _("Optional. Kept apart from the journal: on no paper, in no export, and erased without touching the record."),
        _("Copies beside backups lose what was erased with the next backup to that place. Local rules come first."),
    )


def name_written(text: str) -> str:
    """Return a name as people write it: what was typed in capitals alone, or in small letters, gets capitals."""
    words = " ".join(text.split())
    return words.title()[:LONGEST] if words.isupper() or words.islower() else words
