"""Keeps the screen from sleeping while a car is in the bay."""

import os

from PySide6.QtCore import Q_ARG, QMetaObject, QProcess, QStandardPaths

from bayapp.text.language import _

SAVER = ("org.freedesktop.ScreenSaver", "/org/freedesktop/ScreenSaver", "org.freedesktop.ScreenSaver")
BUS_NAME = "bayapp-awake"
LONGEST_CALL_MS = 1_000


class DesktopSaver:
    """The desktop's screen saver, inhibited over the session bus (freedesktop.org idle inhibition).

    It has a bus connection of its own: if the program dies, the bus drops it and the desktop lets the screen sleep
    again. Without a bus or saver nothing happens.
    """

    def __init__(self) -> None:
        self._cookie: int | None = None

    def there(self) -> bool:
        """Whether the desktop has a saver that can be inhibited."""
        try:
            from PySide6.QtDBus import QDBusConnection  # noqa: PLC0415 (not on every system, nor before the board)
        except ImportError:
            return False
        bus = QDBusConnection.sessionBus()
        return bus.isConnected() and bool(bus.interface().isServiceRegistered(SAVER[0]).value())

    def inhibit(self) -> bool:
        """Inhibit the saver; return whether that worked."""
        if not self.there():
            return False
        from PySide6.QtDBus import QDBus, QDBusConnection, QDBusMessage  # noqa: PLC0415 (see above)

        bus = QDBusConnection.connectToBus(QDBusConnection.BusType.SessionBus, BUS_NAME)
        ask = QDBusMessage.createMethodCall(*SAVER, "Inhibit")
        ask.setArguments(["bayapp", _("a car is in the bay")])
        answer = bus.call(ask, QDBus.CallMode.Block, LONGEST_CALL_MS)
        if answer.type() is not QDBusMessage.MessageType.ReplyMessage:
            QDBusConnection.disconnectFromBus(BUS_NAME)
            return False
        self._cookie = answer.arguments()[0]
        return True

    def release(self) -> None:
        """End the inhibition."""
        if self._cookie is None:
            return
        from PySide6.QtDBus import QDBusConnection, QDBusInterface  # noqa: PLC0415 (see above)

        saver = QDBusInterface(*SAVER, QDBusConnection(BUS_NAME))
        if saver.isValid():  # a message would carry the number as another type than the saver takes
            QMetaObject.invokeMethod(saver, "UnInhibit", Q_ARG("uint", self._cookie))
        self._cookie = None
        QDBusConnection.disconnectFromBus(BUS_NAME)


class Awake:
    """Keeps the screen lit: inhibits the desktop's screen saver, and the X server's if there is one."""

    def __init__(self) -> None:
        self._kept = False
        self._desktop = DesktopSaver()

    def keep(self, wanted: bool) -> None:
        """Keep the screen lit, or let it sleep again; call with False before the program ends."""
        if wanted == self._kept:
            return
        self._kept = wanted
        if wanted:
            self._desktop.inhibit()
        else:
            self._desktop.release()
        for words in (["s", "off" if wanted else "on"], ["-dpms" if wanted else "+dpms"]):
            QProcess.startDetached("xset", words)


def awake_report() -> str:
    """Return a sentence about what can keep this screen awake."""
    if DesktopSaver().there():
        return _("The desktop keeps it awake while a car is in the bay.")
    if os.environ.get("DISPLAY") and QStandardPaths.findExecutable("xset"):
        return _("xset keeps it awake while a car is in the bay.")
    return _("Nothing here can keep it awake: switch its saver and its sleep off in the system's settings.")
