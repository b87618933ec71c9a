"""Hears from the sound server that it is gone or stands still, or that its loudspeaker is muted or turned down.

PulseAudio and PipeWire tell whoever subscribes; a server that stands still tells nothing, so it is asked every second.
Qt passes on which devices there are, and nothing of this. Only the few calls that are needed of PulseAudio's client
library, which Qt's own is linked to (pulse/context.h, pulse/introspect.h and pulse/subscribe.h of version 16; its
binary interface is kept stable).
"""

from __future__ import annotations

import ctypes
from ctypes import CFUNCTYPE, POINTER, Structure, c_char_p, c_int, c_uint8, c_uint32, c_void_p
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from bayapp.alerts.device import NOWHERE, Cause

LIBRARY = "libpulse.so.0"
NO_AUTOSPAWN = 1
READY, FAILED, TERMINATED = 4, 5, 6
SINKS, SERVER = 0x01, 0x80
DEFAULT_SINK = b"@DEFAULT_SINK@"
FULL_VOLUME = 0x10000
NOTHING = FULL_VOLUME // 20
"""Volumes are cubic: a twentieth is 78 dB below full."""
MOST_CHANNELS = 32
LOOK_MS = 900
MOST_LOOKS_OWED = 3
"""A server that has owed an answer for so many looks stands still: less than 4 s, on a busy machine as well."""


class _SampleSpec(Structure):
    _fields_ = (("format", c_int), ("rate", c_uint32), ("channels", c_uint8))


class _ChannelMap(Structure):
    _fields_ = (("channels", c_uint8), ("map", c_int * MOST_CHANNELS))


class _Volumes(Structure):
    _fields_ = (("channels", c_uint8), ("values", c_uint32 * MOST_CHANNELS))


class _SinkInfo(Structure):
    """The first fields of pa_sink_info; there are more after them."""

    _fields_ = (
        ("name", c_char_p),
        ("index", c_uint32),
        ("description", c_char_p),
        ("sample_spec", _SampleSpec),
        ("channel_map", _ChannelMap),
        ("owner_module", c_uint32),
        ("volume", _Volumes),
        ("mute", c_int),
    )


_OnState = CFUNCTYPE(None, c_void_p, c_void_p)
_OnEvent = CFUNCTYPE(None, c_void_p, c_int, c_uint32, c_void_p)
_OnSink = CFUNCTYPE(None, c_void_p, POINTER(_SinkInfo), c_int, c_void_p)


class PulseWatch(QObject):
    """Listens to the sound server of this user from ``begin`` on, in a thread of the library's own.

    Signals:
        silenced(object): why nothing can be heard of what is played, a Cause, or None where all is well; whenever
            that changes.
        gone(): the server was there and is not any more.
        stalled(bool): it is there and answers nothing; or it answers again.
    """

    silenced = Signal(object)
    gone = Signal()
    stalled = Signal(bool)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._library: ctypes.CDLL | None = None
        self._loop: int | None = None
        self._context: int | None = None
        self._was_ready = False
        self._cause: Cause | None = None
        self._owed = False
        self._looks_owed = 0
        self._stalled = False
        self._look = QTimer(self, interval=LOOK_MS)
        self._look.timeout.connect(self._ask_again)
        self._on_state, self._on_event = _OnState(self._follow_state), _OnEvent(self._follow_event)
        self._on_sink = _OnSink(self._follow_sink)

    def begin(self) -> bool:
        """Listen from now on; return whether there is a library to listen by."""
        try:
            library = _declared(ctypes.CDLL(LIBRARY))
        except (OSError, AttributeError):
            return False
        self._library = library
        self._loop = library.pa_threaded_mainloop_new()
        self._context = library.pa_context_new(library.pa_threaded_mainloop_get_api(self._loop), b"bayapp")
        library.pa_context_set_state_callback(self._context, self._on_state, None)
        library.pa_context_connect(self._context, None, NO_AUTOSPAWN, None)
        library.pa_threaded_mainloop_start(self._loop)
        self._look.start()
        return True

    def stop(self) -> None:
        """Listen no more."""
        self._look.stop()
        library, self._library = self._library, None
        if library:
            library.pa_threaded_mainloop_stop(self._loop)
            library.pa_context_unref(self._context)
            library.pa_threaded_mainloop_free(self._loop)

    def _ask_again(self) -> None:
        """Ask the server something, or count for how many looks it has owed an answer.

        Looks are counted rather than seconds: of a program that was stopped itself only one is due when it wakes.
        """
        library = self._library
        if library is None:
            return
        if self._owed:
            self._looks_owed += 1
            if self._looks_owed >= MOST_LOOKS_OWED and not self._stalled:
                self._stalled = True
                self.stalled.emit(True)
            return
        self._looks_owed = 0
        if self._stalled:
            self._stalled = False
            self.stalled.emit(False)
        library.pa_threaded_mainloop_lock(self._loop)
        try:
            if self._was_ready and self._context:
                self._owed = True
                self._ask(self._context)
        finally:
            library.pa_threaded_mainloop_unlock(self._loop)

    # In the library's thread.

    def _follow_state(self, context: int, _: int | None) -> None:
        library = self._library
        if library is None:
            return
        state = library.pa_context_get_state(context)
        if state == READY:
            self._was_ready = True
            library.pa_context_set_subscribe_callback(context, self._on_event, None)
            self._let_go(library.pa_context_subscribe(context, SINKS | SERVER, None, None))
            self._ask(context)
        elif state in (FAILED, TERMINATED) and self._was_ready:
            self._was_ready = False
            self.gone.emit()

    def _follow_event(self, context: int, _kind: int, _index: int, _: int | None) -> None:
        self._ask(context)

    def _ask(self, context: int) -> None:
        if self._library:
            asked = self._library.pa_context_get_sink_info_by_name(context, DEFAULT_SINK, self._on_sink, None)
            self._let_go(asked)

    def _let_go(self, operation: int | None) -> None:
        if operation and self._library:
            self._library.pa_operation_unref(operation)

    def _follow_sink(self, _context: int, info: Any, end: int, _: int | None) -> None:
        self._owed = False
        if end or not info:
            return
        cause = _cause_of(info.contents)
        if cause is not self._cause:
            self._cause = cause
            self.silenced.emit(cause)


def _cause_of(sink: _SinkInfo) -> Cause | None:
    if sink.name in NOWHERE:
        return Cause.NOWHERE
    if sink.mute:
        return Cause.MUTED
    loudest = max(sink.volume.values[: sink.volume.channels], default=0)
    return Cause.TURNED_DOWN if loudest <= NOTHING else None


def _declared(library: ctypes.CDLL) -> ctypes.CDLL:
    """Say what the library's functions take and return, as its headers do; an AttributeError where one is missing."""
    pointer, word = c_void_p, c_char_p
    for name, result, arguments in (
        ("pa_threaded_mainloop_new", pointer, ()),
        ("pa_threaded_mainloop_get_api", pointer, (pointer,)),
        ("pa_threaded_mainloop_start", c_int, (pointer,)),
        ("pa_threaded_mainloop_stop", None, (pointer,)),
        ("pa_threaded_mainloop_lock", None, (pointer,)),
        ("pa_threaded_mainloop_unlock", None, (pointer,)),
        ("pa_threaded_mainloop_free", None, (pointer,)),
        ("pa_context_new", pointer, (pointer, word)),
        ("pa_context_unref", None, (pointer,)),
        ("pa_context_set_state_callback", None, (pointer, _OnState, pointer)),
        ("pa_context_connect", c_int, (pointer, word, c_int, pointer)),
        ("pa_context_get_state", c_int, (pointer,)),
        ("pa_context_set_subscribe_callback", None, (pointer, _OnEvent, pointer)),
        ("pa_context_subscribe", pointer, (pointer, c_int, pointer, pointer)),
        ("pa_context_get_sink_info_by_name", pointer, (pointer, word, _OnSink, pointer)),
        ("pa_operation_unref", None, (pointer,)),
    ):
        function = getattr(library, name)
        function.restype, function.argtypes = result, arguments
    return library
