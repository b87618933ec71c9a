"""Whole days for the paper: the practice car half done and finished, and a day that is too much for anyone."""

from datetime import timedelta
from functools import cache

from bayapp.job import Job, ReadAir, Start, fold, gate
from bayapp.job.model.ids import JobId, Person, StepId, ZoneId
from bayapp.job.model.job import WorkBlock
from bayapp.job.state.events import JobOpened
from bayapp.job.state.requests import CorrectTime, FinishStep, Undo, WriteNote
from bayapp.report.facts.content import day_record
from bayapp.report.facts.day_record import DayRecord
from tests.report.shop import BERLIN, DAY, Shop, practice_job

LONG = "the very long name of a zone that nobody would ever write so"
WORKED = ("paint-two-layers", "glass-three-layers", "rim")
REASON = "the customer stood in the door and wanted to leave, so the towel was taken early after all"


def practice_day(hours: int) -> Shop:
    """The practice car, worked as the advice says by two people; the air is read every hour."""
    shop = Shop(practice_job())
    start = shop.job.start
    shop.record(*gate(shop.state, ReadAir(20.0, 50.0, 19.0), start).events)
    for hour in range(hours):
        begin, end = start + timedelta(hours=hour, seconds=30), start + timedelta(hours=hour + 1)
        shop.work_by_advice(begin, end - timedelta(seconds=30))
        shop.ask(ReadAir(20.0 + hour / 4, 50.0, 19.0, Person("Bo")), end)
    return shop


def seen(shop: Shop, hours: float) -> DayRecord:
    return day_record(shop.events, shop.job.id, DAY, shop.job.start + timedelta(hours=hours), BERLIN)


def eventful_morning() -> Shop:
    """The practice car with one of everything that the paper must not hide."""
    shop = Shop(practice_job())
    job, start = shop.job.id, shop.job.start
    ash, bo = Person("Ash"), Person("Bo")
    tips, rim = (ZoneId("tips"),), (ZoneId("rim-front-left"),)

    def ask(request: object, minutes: float) -> None:
        shop.ask(request, start + timedelta(minutes=minutes))  # type: ignore[arg-type]

    ask(ReadAir(20.0, 50.0, 19.0, bo), 0)
    for step, begin, end in (("decontaminate", 1, 5), ("polish", 5, 7), ("wipe", 8, 10), ("coat", 11, 14)):
        ask(Start(job, rim, StepId(step), ash), begin)
        ask(FinishStep(job, rim, StepId(step), ash), end)
    ask(Start(job, rim, StepId("level"), ash, "the towel had fallen on the floor"), 19)
    ask(FinishStep(job, rim, StepId("level"), ash), 20)
    ask(CorrectTime(job, ZoneId("rim-front-left"), StepId("wipe"), "start", start + timedelta(minutes=7), bo), 21)
    ask(Start(job, tips, StepId("clean"), bo), 22)
    ask(Undo(job, tips, bo), 23)
    ask(WriteNote(job, "kerb mark on the rim, shown to the owner", (ZoneId("rim-front-left"),), ash), 24)
    return shop


@cache
def too_much(zones: int = 50, people: int = 8, deviations: int = 30) -> Shop:
    """Zones with sixty letters each, every one worked at another time by another person, many against the gate."""
    plain = practice_job()
    named = tuple(z.model_copy(update={"name": f"{n:02d} {LONG}"[:60]}) for n, z in enumerate(plain.vehicle.zone))
    crew = tuple(Person(f"Person {n} Longfamily-Secondfamily {n}{n}"[:40]) for n in range(1, people + 1))
    recipes = {block.recipe.name: block.recipe for block in plain.blocks}
    blocks = tuple(
        WorkBlock(zones=(ZoneId(zone.id),), recipe=recipes[WORKED[n % 3]]) for n, zone in enumerate(named[:zones])
    )
    vehicle = plain.vehicle.model_copy(update={"zone": named})
    title = "A job with a title of sixty letters, which is the longest one"[:60]
    job = Job(id=JobId("too-much"), title=title, crew=crew, start=plain.start, vehicle=vehicle, blocks=blocks)
    shop = Shop(job)
    shop.events = [JobOpened(at=job.start, job=job.id, opened=job)]
    shop.state = fold(shop.events)
    _work_one_after_the_other(shop, deviations)
    return shop


def _work_one_after_the_other(shop: Shop, deviations: int) -> None:
    """Begin a zone every two minutes; the first of them are levelled or coated before their time."""
    minutes, left = 0.0, deviations
    for n, block in enumerate(shop.job.blocks):
        by = shop.job.crew[n % len(shop.job.crew)]
        for step in block.recipe.step[:5]:
            reason = None
            now = shop.job.start + timedelta(minutes=minutes)
            request = Start(shop.job.id, block.zones, StepId(step.id), by)
            refused = not gate(shop.state, request, now).accepted
            if refused and not left:
                break
            if refused:
                left -= 1
                reason = f"number {deviations - left}: {REASON}"
            shop.ask(Start(shop.job.id, block.zones, StepId(step.id), by, reason), now)
            shop.ask(FinishStep(shop.job.id, block.zones, StepId(step.id), by), now + timedelta(minutes=1))
            minutes += 1.3
