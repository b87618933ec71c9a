"""The air of the bay: pure functions of temperature, humidity and solvent."""

from bayapp.air.dew import ImpossibleAirError, dew_point
from bayapp.air.fitness import DEW_MARGIN_K, Fitness, Hindrance, Limits, Remedy, assess, dampest_allowed
from bayapp.air.ripening import RuleOfThumb, SheetTable, opens_at
from bayapp.air.vapour import Room, VapourSource

__all__ = [
    "DEW_MARGIN_K",
    "Fitness",
    "Hindrance",
    "ImpossibleAirError",
    "Limits",
    "Remedy",
    "Room",
    "RuleOfThumb",
    "SheetTable",
    "VapourSource",
    "assess",
    "dampest_allowed",
    "dew_point",
    "opens_at",
]
