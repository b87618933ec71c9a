"""The dew point. Knows no product and no limit."""

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)

LOWEST_C = -100.0


def dew_point(air_c: float, rh_percent: float) -> float:
    """Return the temperature, °C, at which air of ``air_c`` °C and ``rh_percent`` % humidity begins to condense.

    PsychroLib's inversion of the ASHRAE Handbook of Fundamentals (2017, ch. 1, eq. 5 and 6) saturation
    pressure. Below 0 °C that is the frost point. The formula ends at -100 °C; air that is drier still gets that.

    Raises:
        ValueError: humidity outside 0 < rh <= 100, or a temperature outside -100..200 °C.
    """
    if not 0 < rh_percent <= 100:
        raise ValueError(f"relative humidity is {rh_percent:g} %; it must be more than 0 and at most 100")
    if not LOWEST_C <= air_c <= 200:
        raise ValueError(f"the air's temperature is {air_c:g} °C; it must be between -100 and 200")
    vapour_pa = psychrolib.GetVapPresFromRelHum(air_c, rh_percent / 100)
    if vapour_pa <= psychrolib.GetSatVapPres(LOWEST_C):
        return LOWEST_C
    return float(psychrolib.GetTDewPointFromVapPres(air_c, vapour_pa))
