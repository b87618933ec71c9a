"""Requests for a plan, one JSON object a line, read while a search runs. Knows no plan and no store."""

import os
from collections.abc import Callable, Iterator
from threading import Condition, Thread

from pydantic import BaseModel, ConfigDict, ValidationError

from bayapp.job.instant import Instant
from bayapp.job.language import _

LONGEST_LINE = 10_000


class PlanRequest(BaseModel):
    """Plan from this instant on with what the journal holds now.

    Attributes:
        order: a number that the answers repeat.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")
    at: Instant
    order: int


class Requests:
    """The newest request of a stream; one that nobody took before the next came is passed over.

    ``complain`` is told of lines that are no request, and ``ended`` of the end, in the thread that reads.
    """

    def __init__(
        self, descriptor: int, complain: Callable[[str], None], ended: Callable[[], None] = lambda: None
    ) -> None:
        self._changed = Condition()
        self._newest: PlanRequest | None = None
        self._ended = False
        self._complain, self._tell_end = complain, ended
        self._reader = Thread(target=self._read, args=(descriptor,), name="requests", daemon=True)
        self._reader.start()

    def take(self) -> PlanRequest | None:
        """Wait for a request that has not been taken yet; None at the end."""
        with self._changed:
            self._changed.wait_for(self.waiting)
            if self._ended:
                return None
            newest, self._newest = self._newest, None
            return newest

    def waiting(self) -> bool:
        """Whether there is something newer than what was taken last: a request, or the end."""
        return self._ended or self._newest is not None

    def end(self) -> None:
        """Take no more: whoever asked is gone."""
        with self._changed:
            self._ended = True
            self._changed.notify_all()

    def _read(self, descriptor: int) -> None:
        try:
            for line in lines_of(descriptor):
                self._hear(line)
        finally:
            self.end()
            self._tell_end()

    def _hear(self, line: bytes) -> None:
        try:
            request = PlanRequest.model_validate_json(line)
        except ValidationError as error:
            self._complain(
                _("{line!r} is no request for a plan: {error}").format(
                    line=line[:80].decode(errors="replace"), error=error.errors()[0]["msg"]
                )
            )
            return
        with self._changed:
            self._newest = request
            self._changed.notify_all()


def lines_of(descriptor: int) -> Iterator[bytes]:
    """Yield each whole line, read without the locks that a thread could hold while the program ends."""
    rest = b""
    while read := os.read(descriptor, 65_536):
        *lines, rest = (rest + read).split(b"\n")
        yield from (line for line in lines if line.strip())
        rest = rest[-LONGEST_LINE:]
