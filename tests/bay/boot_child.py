"""Starts the bay on a store by this machine's real clocks, as the wall does, and says in JSON what it believes."""

import json
import sys
from datetime import UTC
from pathlib import Path

from bayapp.bay import Bay
from bayapp.clock import MachineReadings
from bayapp.job.model.ids import JobId, StepId, ZoneId
from bayapp.job.model.instant import write_instant
from bayapp.job.state.requests import FinishStep, OpenJob, SayTime, Start
from bayapp.record import open_journal
from tests.job.builders import job, recipe, step

CAR, ROOF = JobId("car"), (ZoneId("roof"),)
LADDER = recipe(step("wipe"), step("coat", wait={"min": 60}))


def main(store: Path, act: str) -> None:
    journal, readings = open_journal(store), MachineReadings()
    bay = Bay.begun(journal, readings, UTC)
    if act == "wipe":
        assert bay.request(OpenJob(job((ROOF, LADDER)))).accepted
        assert bay.request(FinishStep(CAR, ROOF, StepId("wipe"))).accepted
    elif act == "unknown":
        assert bay.clock_watch.say(SayTime("unknown")).accepted
    elif act == "machine":
        assert bay.clock_watch.say(SayTime("machine", bay.clock_watch.by_machine())).accepted
    bay.clock_watch.watch()
    refusal = bay.judge(Start(CAR, ROOF, StepId("coat"))).refusal
    said = {
        "now": write_instant(bay.now()),
        "machine": write_instant(bay.clock_watch.wall_time()),
        "on_for_s": readings.stamp().boot_ms / 1000,
        "asks": bay.clock_watch.unsure,
        "by_service": bay.clock_watch.by_service,
        "refused": refusal.code if refusal else None,
    }
    print(json.dumps(said))
    journal.close()


main(Path(sys.argv[1]), sys.argv[2])
