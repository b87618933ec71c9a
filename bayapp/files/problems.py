"""Findings: what is wrong with a file, where, and what would be right."""

from collections.abc import Sequence
from dataclasses import dataclass

from bayapp.text.language import _
from bayapp.text.readable import visible


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong.

    Attributes:
        file: the path as the person gave it.
        line, column: where in the text, from 1; None if unknown.
        where: the key in people's words, e.g. "step 2 (coat-1), wait.max"; empty for the file as a whole.
        reason: what is wrong, then what would be right.
    """

    file: str
    line: int | None
    where: str
    reason: str
    column: int | None = None

    def __post_init__(self) -> None:
        for told in ("where", "reason"):  # they quote the file, which may hold anything
            object.__setattr__(self, told, visible(getattr(self, told)))

    @property
    def place(self) -> str:
        """Line, column and key, as far as they are known."""
        line = _("line {n}").format(n=self.line) if self.line else ""
        column = _("column {n}").format(n=self.column) if self.column else ""
        return ", ".join(part for part in (line, column, self.where) if part)

    def __str__(self) -> str:
        return ": ".join(part for part in (visible(self.file), self.place, self.reason) if part)


class BadFile(Exception):  # noqa: N818 - named for what the person reads
    """A file that a person wrote cannot be used; correct what the findings name and try again.

    Attributes:
        findings: everything that is wrong, at least one.
        unreadable: there was no text to check (no such file, no UTF-8).
    """

    def __init__(self, findings: Sequence[Finding], unreadable: bool = False) -> None:
        super().__init__("\n".join(map(str, findings)))
        self.findings = tuple(findings)
        self.unreadable = unreadable
