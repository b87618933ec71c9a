"""The state of the sound device, in the shop's language."""

from bayapp.alerts.device import Cause, DeviceReport
from bayapp.text.language import _, later

_SENTENCES = {
    Cause.STARTING: later("The sound is being started."),
    Cause.IN_USE: later("Sound goes to {named}."),
    Cause.NO_LIBRARY: later("Qt's sound library does not load ({named})."),
    Cause.NO_DEVICE: later("No sound device is found. Plug in or switch on a loudspeaker."),
    Cause.NOWHERE: later("This machine's sound goes nowhere. Plug in or switch on a loudspeaker."),
    Cause.MUTED: later("The loudspeaker is muted. Unmute it, by its key or in this machine's sound settings."),
    Cause.TURNED_DOWN: later("The volume of this machine is at zero. Turn it up."),
    Cause.NO_SERVER: later("The sound server has stopped. Calls sound again as soon as it runs."),
    Cause.SERVER_HANGS: later("The sound server stands still and answers nothing. Start it anew, or the machine."),
    Cause.NOT_OPENED: later("The sound device cannot be opened. Another program may hold it."),
    Cause.HANGS: later("The sound device takes no sound. Switch it off and on, or choose another one."),
    Cause.BROKE_OFF: later("The sound device broke off. Check its plug and its power."),
    Cause.PROCESS_ENDED: later("The sound broke off and is being started again."),
    Cause.NO_PROCESS: later("The program that plays sound does not start."),
}

_SHORT = {
    Cause.NO_DEVICE: later("no device"),
    Cause.NOWHERE: later("no device"),
    Cause.MUTED: later("muted"),
    Cause.TURNED_DOWN: later("at zero"),
    Cause.NO_SERVER: later("stopped"),
    Cause.SERVER_HANGS: later("stands still"),
}


def short_reason(report: DeviceReport) -> str:
    """Return why nothing can be heard in a word or two, or what says more."""
    return _(_SHORT.get(report.cause, later("touch for why")))


def reason(report: DeviceReport) -> str:
    """Return the sentence that says why the device is in its state."""
    return _(_SENTENCES[report.cause]).format(named=report.named)
