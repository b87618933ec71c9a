"""The state of the sound device, in the shop's language."""

from bayapp.alerts.device import Cause, DeviceReport
from bayapp.text.language import _, later

_SENTENCES = {
    Cause.STARTING: later("The sound is being started."),
    Cause.IN_USE: later("Sound goes to {named}."),
    Cause.NO_LIBRARY: later("Qt's sound library does not load ({named})."),
    Cause.NO_DEVICE: later("No sound device is found. Plug in or switch on a loudspeaker."),
    Cause.NO_SERVER: later("The sound server has stopped. Calls sound again as soon as it runs."),
    Cause.NOT_OPENED: later("The sound device cannot be opened. Another program may hold it."),
    Cause.HANGS: later("The sound device takes no sound. Switch it off and on, or choose another one."),
    Cause.BROKE_OFF: later("The sound device broke off. Check its plug and its power."),
    Cause.PROCESS_ENDED: later("The sound broke off and is being started again."),
    Cause.NO_PROCESS: later("The program that plays sound does not start."),
}


def reason(report: DeviceReport) -> str:
    """Return the sentence that says why the device is in its state."""
    return _(_SENTENCES[report.cause]).format(named=report.named)
