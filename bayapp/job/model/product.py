"""The product: what its sheet allows of the air, and how far a bottle of it goes."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from bayapp.job.model.vehicle import FileModel, Slug
from bayapp.text.language import _

COLDEST_C, WARMEST_C = -40.0, 90.0
LEAST_PERCENT, MOST_PERCENT = 0.1, 100.0
"""Where a limit lies that a sheet leaves open at one end: no bay has such air, so it is never in the way."""
Celsius = Annotated[float, Field(strict=True, ge=COLDEST_C, le=WARMEST_C, allow_inf_nan=False)]
Percent = Annotated[float, Field(strict=True, gt=0, le=MOST_PERCENT, allow_inf_nan=False)]
Millilitres = Annotated[float, Field(strict=True, gt=0, le=25_000, allow_inf_nan=False)]


class Solvent(FileModel):
    """What evaporates from a product; from section 9 and section 8 of its safety sheet.

    Attributes:
        name: what the sheet calls it.
        share: how much of the product's volume evaporates while it is used, 0 to 1.
        molar_mass_g: g/mol.
        density_g_per_ml: of the solvent itself, at room temperature.
        day_ppm: highest average over a working day of 8 hours, parts per million by volume.
        short_ppm: highest average over 15 minutes.
        flash_point_c: from this temperature on it makes a vapour that a spark lights, °C.
        lower_explosive_percent: from this share of the air on the vapour burns, % by volume.
    """

    name: str = Field(min_length=1, max_length=60)
    share: Annotated[float, Field(strict=True, gt=0, le=1, allow_inf_nan=False)]
    molar_mass_g: Annotated[float, Field(strict=True, ge=10, le=1_000, allow_inf_nan=False)]
    density_g_per_ml: Annotated[float, Field(strict=True, ge=0.4, le=2, allow_inf_nan=False)]
    day_ppm: Annotated[float, Field(strict=True, gt=0, le=10_000, allow_inf_nan=False)]
    short_ppm: Annotated[float, Field(strict=True, gt=0, le=10_000, allow_inf_nan=False)]
    flash_point_c: Annotated[float, Field(strict=True, ge=-60, le=300, allow_inf_nan=False)] | None = None
    lower_explosive_percent: Annotated[float, Field(strict=True, gt=0, le=50, allow_inf_nan=False)] | None = None

    @property
    def pure(self) -> "Solvent":
        """The solvent by itself: what it is does not depend on how much of it is in a product."""
        return self.model_copy(update={"share": 1.0})


class Product(FileModel):
    """What a product's own sheet says; ``format`` is ``bayapp-product/1``.

    Attributes:
        air_c, surface_c: lowest and highest temperature to lay it at, °C.
        rh_percent: lowest and highest relative humidity to lay it in, %.
        dew_margin_c: how far the surface must be above the dew point, K, where that is more than the shop's margin.
        coverage_ml_per_m2: what one laying of it takes, ml for each square metre; None: use is not reckoned.
        opened_life_days: how long an opened bottle is good, days of 24 hours.
        low_ml: what shall always be on the shelf beyond what the cars in the bay need; below it, order.
        density_g_per_ml, empty_bottle_g: turn the weight of a bottle into what is left in it.
        needs_bottle: whether it is refused while no fit bottle of it stands on the shelf.
        solvent: what of it evaporates while it is used; None: nothing that is reckoned.
        temperature_rule: a rule of thumb for the waits after it, where its sheet gives one value only; on the time,
            between 0.75 and 2.5 times. ``temperature_rule_at_c`` is the °C for which the sheet speaks.
        cautions: short sentences shown with it; the safety sheet comes first.
    """

    format: Literal["bayapp-product/1"] = "bayapp-product/1"
    name: Slug
    title: str = Field(default="", max_length=60)
    air_c: tuple[Celsius, Celsius] | None = None
    surface_c: tuple[Celsius, Celsius] | None = None
    rh_percent: tuple[Percent, Percent] | None = None
    dew_margin_c: Annotated[float, Field(strict=True, ge=0, le=20, allow_inf_nan=False)] | None = None
    coverage_ml_per_m2: Annotated[float, Field(strict=True, gt=0, le=2_000, allow_inf_nan=False)] | None = None
    opened_life_days: Annotated[int, Field(strict=True, gt=0, le=3_660)] | None = None
    low_ml: Annotated[float, Field(strict=True, ge=0, le=25_000, allow_inf_nan=False)] | None = None
    density_g_per_ml: Annotated[float, Field(strict=True, ge=0.5, le=3, allow_inf_nan=False)] | None = None
    empty_bottle_g: Annotated[float, Field(strict=True, ge=0, le=5_000, allow_inf_nan=False)] | None = None
    needs_bottle: bool = False
    solvent: Solvent | None = None
    temperature_rule: Literal["halves-per-10-c"] | None = None
    temperature_rule_at_c: Celsius | None = None
    cautions: tuple[str, ...] = ()

    @model_validator(mode="after")
    def _rule_has_its_temperature(self) -> Self:
        if self.temperature_rule and self.temperature_rule_at_c is None:
            raise ValueError(
                _("temperature_rule needs temperature_rule_at_c: the °C for which the sheet gives its minutes, e.g. 20")
            )
        if self.temperature_rule_at_c is not None and not self.temperature_rule:
            raise ValueError(
                _('temperature_rule_at_c does nothing alone; write temperature_rule = "halves-per-10-c" as well')
            )
        return self

    @model_validator(mode="after")
    def _limits_are_ranges(self) -> Self:
        for key in ("air_c", "surface_c", "rh_percent"):
            limits = getattr(self, key)
            if limits is not None and limits[0] > limits[1]:
                raise ValueError(
                    _("{key} goes from {low:g} to {high:g}; write the lower limit first").format(
                        key=key, low=limits[0], high=limits[1]
                    )
                )
        return self
