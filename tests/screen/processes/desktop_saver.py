"""A desktop's saver on the session bus that tells on its standard output what it is asked."""

from PySide6.QtCore import ClassInfo, QCoreApplication, QObject, Slot
from PySide6.QtDBus import QDBusConnection

COOKIE = 4_000_000_007  # beyond a signed 32 bit number: the interface says uint32


@ClassInfo({"D-Bus Interface": "org.freedesktop.ScreenSaver"})  # type: ignore[call-arg]  # its stub is wrong
class Saver(QObject):  # type: ignore[operator]  # the same
    @Slot(str, str, result="uint")
    def Inhibit(self, application: str, reason: str) -> int:  # noqa: N802 (the interface's name)
        print(f"inhibit {application}", flush=True)
        return COOKIE

    @Slot("uint")
    def UnInhibit(self, cookie: int) -> None:  # noqa: N802 (the interface's name)
        print(f"uninhibit {cookie}", flush=True)


if __name__ == "__main__":
    application = QCoreApplication([])
    saver, bus = Saver(), QDBusConnection.sessionBus()
    bus.registerObject("/org/freedesktop/ScreenSaver", saver, QDBusConnection.RegisterOption.ExportAllSlots)
    print("ready" if bus.registerService("org.freedesktop.ScreenSaver") else "failed", flush=True)
    application.exec()
