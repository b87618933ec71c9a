"""The dew point."""

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)

LOWEST_C = -100.0


_IN_ENGLISH = {
    "rh_percent": "relative humidity is {value:g} %; it must be more than 0 and at most 100",
    "air_c": "the air's temperature is {value:g} °C; it must be between -100 and 200",
    "surface_c": "the surface's temperature is {value:g} °C; it must be between -100 and 200",
}
"""For logs and programs; ``job/text/air_sentences.py`` has the sentences for people."""


class ImpossibleAirError(ValueError):
    """A reading that no air or surface has; measure it again.

    Attributes:
        quantity: "rh_percent", "air_c" or "surface_c".
        value: what it was said to be, % or °C.
    """

    def __init__(self, quantity: str, value: float) -> None:
        super().__init__(_IN_ENGLISH[quantity].format(value=value))
        self.quantity, self.value = quantity, value


def dew_point(air_c: float, rh_percent: float) -> float:
    """Return the temperature, °C, at which air of ``air_c`` °C and ``rh_percent`` % humidity begins to condense.

    PsychroLib's inversion of the ASHRAE Handbook of Fundamentals (2017, ch. 1, eq. 5 and 6) saturation
    pressure. Below 0 °C that is the frost point. The formula ends at -100 °C; air that is drier still gets that.

    Raises:
        ImpossibleAirError: humidity outside 0 < rh <= 100, or a temperature outside -100..200 °C.
    """
    if not 0 < rh_percent <= 100:
        raise ImpossibleAirError("rh_percent", rh_percent)
    if not LOWEST_C <= air_c <= 200:
        raise ImpossibleAirError("air_c", air_c)
    vapour_pa = psychrolib.GetVapPresFromRelHum(air_c, rh_percent / 100)
    if vapour_pa <= psychrolib.GetSatVapPres(LOWEST_C):
        return LOWEST_C
    return float(psychrolib.GetTDewPointFromVapPres(air_c, vapour_pa))
