"""A whole estate worked by one person in the trade's order (common practice, no source), minute by minute."""

from bayapp.job.clocks import handover_at
from bayapp.job.model.ids import Urgency
from tests.recipes.shipped import CAR, Car, job_of, minutes

WORK = (
    (["windscreen"], "glass-three-layers"),
    (["rear-screen", "side-glass-left", "side-glass-right"], "glass-one-layer"),
    (["paint"], "paint-two-layers"),
    (["trim"], "trim"),
    (["rims"], "rim"),
    (["calipers"], "caliper"),
    (["tyres"], "tyre"),
    (["lamps"], "lamp"),
    (["tips"], "exhaust-tip"),
    (["cabin"], "cabin"),
)


def each(car: Car, name: str, *steps: str) -> None:
    """Carry out steps zone by zone: all of them on one zone before the next."""
    for zone in car.job.zones_named(name):
        car.do(zone, *steps)


def prepare(car: Car) -> None:
    for name in ("calipers", "rims", "tyres", "paint", "all-glass", "lamps", "trim"):
        each(car, name, "decontaminate")
    each(car, "tips", "clean")
    each(car, "trim", "mask")
    for name in ("tips", "calipers", "rims", "all-glass", "lamps", "paint"):
        each(car, name, "polish")


def coat(car: Car) -> None:
    each(car, "tips", "wipe", "coat", "level")
    each(car, "calipers", "wipe", "coat", "level", "buff")
    each(car, "rims", "wipe", "coat", "level", "buff")
    each(car, "paint", "wipe", "coat-1", "level-1")
    each(car, "paint", "coat-2", "level-2")
    each(car, "trim", "unmask", "clean")
    each(car, "trim", "wipe", "coat", "buff")
    each(car, "lamps", "wipe", "coat", "level")


def coat_glass(car: Car) -> None:
    """The waits between the windscreen's layers are filled with side glass."""
    car.do("windscreen", "wipe", "coat-1")
    each(car, "side-glass-left", "wipe", "coat-1")
    car.do("windscreen", "coat-2")
    each(car, "side-glass-right", "wipe", "coat-1")
    car.do("windscreen", "coat-3")
    car.do("rear-screen", "wipe", "coat-1")
    each(car, "all-glass", "buff", "glass-clean")


def test_one_person_works_a_whole_estate_in_the_trades_order_without_a_refusal():
    car = Car(job_of(*WORK))
    prepare(car)
    coat(car)
    coat_glass(car)
    each(car, "tyres", "dress")
    state = car.state.jobs[CAR]
    assert handover_at(state) is None
    each(car, "cabin", "vacuum", "clean", "dress", "inspect")
    state = car.state.jobs[CAR]
    assert {car.clock(zone).urgency for zone in state.zones} == {Urgency.FINISHED}
    assert {zone: z.lapses for zone, z in state.zones.items() if z.lapses} == {}
    hours = {zone: 12 if car.job.recipe_of(zone).layers else 0 for zone in state.zones}  # coats are kept dry 12 hours
    hours |= dict.fromkeys(car.job.zones_named("tyres"), 1)
    expected = max(end + minutes(60 * hours[zone]) for zone, end in car.finished.items())
    assert handover_at(state) == expected
