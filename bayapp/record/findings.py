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


Finding = Unusable | FileDamaged | EntriesMissing | Altered | NoEvent | ColumnsDisagree
