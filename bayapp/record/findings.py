"""What a look over a journal can find, each with its words."""

from dataclasses import dataclass

from bayapp.text.language import _, ngettext


@dataclass(frozen=True, slots=True)
class Unusable:
    """It cannot be read at all, or is no journal, or that of a newer bayapp."""

    why: str

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return self.why


@dataclass(frozen=True, slots=True)
class FileDamaged:
    """The database's own check finds pages that are not right."""

    detail: str

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("The file is damaged: {detail}").format(detail=self.detail)


@dataclass(frozen=True, slots=True)
class EntriesMissing:
    """Entries between others are not there."""

    first: int
    last: int

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        number = self.last - self.first + 1
        return ngettext("Entry {first} is missing.", "Entries {first} to {last} are missing.", number).format(
            first=self.first, last=self.last
        )


@dataclass(frozen=True, slots=True)
class Altered:
    """An entry does not have the checksum that it was written with, or the one before it has not."""

    seq: int

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("Entry {seq} is not as it was written.").format(seq=self.seq)


@dataclass(frozen=True, slots=True)
class NoEvent:
    """The body of an entry cannot be read as an event."""

    seq: int
    why: str

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("Entry {seq} is no event: {why}.").format(seq=self.seq, why=self.why)


@dataclass(frozen=True, slots=True)
class ColumnsDisagree:
    """An entry of an older version, which has no checksum, says one thing in its body and another beside it."""

    seq: int

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("Entry {seq}: its body and the columns beside it disagree.").format(seq=self.seq)


@dataclass(frozen=True, slots=True)
class JournalGone:
    """The journal's file is not there, or has nothing in it, where a journal was.

    Attributes:
        entries: how many it had; None where nobody knows.
    """

    entries: int | None

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        if self.entries is None:
            return _("The journal that was here is gone: its file is missing or empty.")
        return ngettext(
            "The journal that was here is gone: its file is missing or empty, and {n} entry with it.",
            "The journal that was here is gone: its file is missing or empty, and {n} entries with it.",
            self.entries,
        ).format(n=self.entries)


@dataclass(frozen=True, slots=True)
class EndMissing:
    """The last entries are not there.

    Attributes:
        last: the number of the last one there.
        known: the number of the last one that was recorded.
    """

    last: int
    known: int

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        number = self.known - self.last
        return ngettext(
            "The last entry is missing: the journal ends at {last}, and {known} was recorded.",
            "The last {n} entries are missing: the journal ends at {last}, and {known} were recorded.",
            number,
        ).format(n=number, last=self.last, known=self.known)


@dataclass(frozen=True, slots=True)
class OtherJournal:
    """An entry is not the one that was recorded last under its number."""

    seq: int

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _(
            "Entry {seq} is not the one that was recorded: this is another journal, or an older one that went on."
        ).format(seq=self.seq)


@dataclass(frozen=True, slots=True)
class WitnessMissing:
    """Nothing beside the journal says which entry is its last."""

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("The file that knows the last entry is missing: nobody can say whether some are missing at the end.")


@dataclass(frozen=True, slots=True)
class WitnessUnreadable:
    """What stands beside the journal to say which entry is its last cannot be read."""

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("The file that knows the last entry is damaged: nobody can say whether some are missing at the end.")


@dataclass(frozen=True, slots=True)
class EntriesUnreadable:
    """From an entry on, the file can no longer be read."""

    first: int

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("Entry {seq} and those after it cannot be read.").format(seq=self.first)


@dataclass(frozen=True, slots=True)
class NotOurs:
    """Things in the database that bayapp did not make; they could change what is written, or what is read.

    Attributes:
        names: each with what it is, e.g. ``trigger forget``.
    """

    names: tuple[str, ...]

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return ngettext(
            "Something in the database is not bayapp's and could change what is written: {names}.",
            "Some things in the database are not bayapp's and could change what is written: {names}.",
            len(self.names),
        ).format(names=", ".join(self.names))


@dataclass(frozen=True, slots=True)
class SignOfLifeAltered:
    """The sign of life that the program left last is not as it was written, and is left out."""

    @property
    def words(self) -> str:
        """What is wrong, one sentence."""
        return _("The last sign of life is not as it was written: how long the wall was off cannot be said from it.")


@dataclass(frozen=True, slots=True)
class IndexRebuilt:
    """An index was damaged and is right again; no entry was."""

    @property
    def words(self) -> str:
        """What was wrong, and what was done."""
        return _("An index of the journal was damaged. It was made anew from the entries, all as they were written.")


@dataclass(frozen=True, slots=True)
class FileRebuilt:
    """The file was damaged around its entries and was built anew from them before anything was read."""

    @property
    def words(self) -> str:
        """What was wrong, and what was done."""
        return _("The journal's file was damaged. It was built anew from its entries, all as they were written.")


@dataclass(frozen=True, slots=True)
class Upgraded:
    """It was of an older version, and was copied and brought up to date before anything was read.

    Attributes:
        backup: the name of the copy; empty where a server keeps its own.
    """

    backup: str

    @property
    def words(self) -> str:
        """What was done, one or two sentences."""
        done = _("This bayapp is newer: the journal was brought up to date for it.")
        if not self.backup:
            return done
        return _("{done} As it was before, it lies in its backups as {file}.").format(done=done, file=self.backup)


Finding = (
    Unusable
    | FileDamaged
    | EntriesMissing
    | Altered
    | NoEvent
    | ColumnsDisagree
    | JournalGone
    | EndMissing
    | OtherJournal
    | WitnessMissing
    | WitnessUnreadable
    | EntriesUnreadable
    | NotOurs
    | SignOfLifeAltered
    | IndexRebuilt
    | FileRebuilt
    | Upgraded
)
