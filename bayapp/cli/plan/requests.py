"""Requests for a plan, one JSON object a line, read while a search runs."""

import os
import select
from collections.abc import Callable
from threading import Condition, Thread

from pydantic import BaseModel, ConfigDict, ValidationError

from bayapp.job.model.instant import Instant
from bayapp.text.language import _

LONGEST_LINE = 10_000
BEAT_S = 1.0
"""So often whoever waits for a request says that it is alive."""


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

    The stream is read on each query, not by a thread, so that this process can fork. ``complain`` is called with a
    sentence about each line that is no request, and ``ended`` when the stream ends.
    """

    def __init__(
        self, descriptor: int, complain: Callable[[str], None], ended: Callable[[], None] = lambda: None
    ) -> None:
        self._changed = Condition()
        self._newest: PlanRequest | None = None
        self._ended = False
        self._descriptor, self._rest = descriptor, b""
        self._complain, self._tell_end = complain, ended

    def take(self, meanwhile: Callable[[], None] = lambda: None) -> PlanRequest | None:
        """Wait for a request that has not been taken yet, and call ``meanwhile`` each second; None at the end."""
        while not self.waiting():
            self._wait()
            meanwhile()
        with self._changed:
            newest, self._newest = self._newest, None
        return None if self._ended else newest

    def waiting(self) -> bool:
        """Whether there is something newer than what was taken last: a request, or the end."""
        while not self._ended and select.select([self._descriptor], [], [], 0)[0]:
            self._read()
        return self._ended or self._newest is not None

    def end(self) -> None:
        """Take no more: whoever asked is gone."""
        with self._changed:
            self._ended = True
            self._changed.notify_all()

    def _wait(self) -> None:
        select.select([self._descriptor], [], [], BEAT_S)

    def _read(self) -> None:
        """Read what has come; where nothing has, wait for it. Without the locks of Python's own files, which a thread
        could hold while the program ends.
        """
        read = os.read(self._descriptor, 65_536)
        *lines, rest = (self._rest + read).split(b"\n")
        self._rest = rest[-LONGEST_LINE:]
        for line in lines:
            if line.strip():
                self._hear(line)
        if not read:
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


class RequestsByThread(Requests):
    """The same, read by a thread: on Windows nobody can ask beforehand whether a pipe has something to read."""

    def __init__(
        self, descriptor: int, complain: Callable[[str], None], ended: Callable[[], None] = lambda: None
    ) -> None:
        super().__init__(descriptor, complain, ended)
        Thread(target=self._read_all, name="requests", daemon=True).start()

    def waiting(self) -> bool:
        """Whether there is something newer than what was taken last: a request, or the end."""
        return self._ended or self._newest is not None

    def _wait(self) -> None:
        with self._changed:
            self._changed.wait_for(self.waiting, BEAT_S)

    def _read_all(self) -> None:
        while not self._ended:
            self._read()
