"""Two cars in a shop whose bays may have names."""

from datetime import UTC, datetime

from bayapp.job import AnswerSplash, MoveCar, ReadAir, SetUpPlaces
from bayapp.job.model.ids import JobId, PlaceId, ZoneId
from bayapp.job.model.place import Bay
from tests.job.builders import START, Shop, finish, job, read_air, recipe, step

CAR, VAN = JobId("car"), JobId("van")
BAY_1, BAY_2 = PlaceId("bay-1"), PlaceId("bay-2")
BAYS = (Bay(id=BAY_1, name="Front bay"), Bay(id=BAY_2, name="Back bay"))
DIVIDED = (BAYS[0].model_copy(update={"curtain": True}), BAYS[1])
PAINT = recipe(
    step("wipe"), step("coat", kind="coat"), step("level", kind="level"), name="paint",
    finish={"keep_dry_hours": 12}, air="refuse",
)  # fmt: skip
DRIES = recipe(step("wipe"), step("coat", kind="coat"), name="dries", finish={"keep_dry_hours": 12})
RIM = recipe(step("wash", kind="decontaminate"), step("polish"), step("coat", kind="coat"), name="rim")


def two_cars(*steps: str, bays: tuple[Bay, ...] = (), ladder: object = PAINT) -> Shop:
    """A red car whose roof has been brought so far, one step a minute until 7 minutes past, and a white van."""
    car = job((["roof"], ladder), name="car")  # type: ignore[arg-type]
    van = job((["left-rim", "right-rim"], RIM), name="van")
    shop = Shop(car.model_copy(update={"title": "Red car"}), van.model_copy(update={"title": "White van"}))
    if bays:
        shop.must(SetUpPlaces(bays), 0)
        shop.must(MoveCar(CAR, BAY_1), 0)
        shop.must(MoveCar(VAN, BAY_2), 0)
    shop.must(read_air(), 0)
    for minutes, name in enumerate(steps, 8 - len(steps)):
        if minutes == 8 - len(steps) and name != "wipe":
            shop.must(finish("roof", "wipe"), 0)
        shop.must(finish("roof", name), minutes)
    return shop


def moved(car: JobId, to: PlaceId, bays: tuple[Bay, ...] = BAYS) -> Shop:
    """One of the two cars was moved into a bay."""
    shop = two_cars()
    shop.must(SetUpPlaces(bays), 1)
    shop.must(MoveCar(car, to), 2)
    return shop


def splash(out_of_reach: bool, zone: str = "roof") -> AnswerSplash:
    """Say whether water on the van reaches a zone of the car."""
    return AnswerSplash(VAN, CAR, (ZoneId(zone),), out_of_reach)


def read_in(place: PlaceId | None, air_c: float = 20.0, read_at: datetime | None = None) -> ReadAir:
    return ReadAir(air_c, 50.0, read_at=read_at, place=place)


def day(hours: float) -> datetime:
    """A moment so many hours after eight in the morning."""
    return datetime.fromtimestamp(START.timestamp() + hours * 3600, UTC)
