"""What was checked of a car's brakes and wheels before it leaves. Common practice, no source; vehicle maker first."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

RETIGHTEN_AFTER_KM = 50
"""So far a wheel that came off is driven before its bolts are tightened again (common practice, no source)."""
Torque = Annotated[float, Field(ge=10, le=1000, allow_inf_nan=False)]
"""Nm, from a motorcycle's axle clamp to a lorry's wheel nut (from memory)."""


class BrakeCheck(BaseModel):
    """What was found of discs, pedal and a first roll; of wheels that came off, the torque of their bolts, Nm."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    discs_clean: bool = False
    pedal_firm: bool = False
    rolled_and_braked: bool = False
    wheels_off: bool = False
    torque_nm: Torque | None = None

    @property
    def all_good(self) -> bool:
        """Whether nothing of it is left to do."""
        checked = self.discs_clean and self.pedal_firm and self.rolled_and_braked
        return checked and not (self.wheels_off and self.torque_nm is None)


NOTHING_CHECKED = BrakeCheck()
