"""What is told of a resin's cure beside its times, and what is taken where it is not told."""

from dataclasses import dataclass

from teewright.units import celsius

GEL = 0.58
"""Conversion at the end of workability [-]: the gel point of a diepoxide with a diamine,
(1/3)^0.5 = 0.577, after Flory and Stockmayer; value from memory. An engineer's choice for
any other resin."""
FIRM = 0.90
"""Conversion from which the packer may let go [-]; engineer's choice."""
SHEET_MASS = 0.1
"""Mass in which data sheets measure working times [kg]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class CureSeries:
    """Readings of one sample of a resin that cures at one temperature, or along a ramp.

    Attributes:
        name: Of the sample.
        temperature: At which it is held, or at its first reading [K].
        times: Since mixing, ascending [s].
        conversions: Read at these times [-]; empty where the heat flow was read.
        heat_flows: Read at these times, per mass of mix [W/kg]; empty where conversions were.
        ramp: Temperature at each of the times [K]; empty where it is held.
    """

    name: str
    temperature: float
    times: tuple[float, ...]
    conversions: tuple[float, ...]
    heat_flows: tuple[float, ...]
    ramp: tuple[float, ...] = ()

    @property
    def words(self) -> str:
        """Its name with its temperatures."""
        if not self.ramp:
            return f"{self.name} at {celsius(self.temperature):g} °C"
        low, high = (celsius(T) for T in (min(self.ramp), max(self.ramp)))
        return f"{self.name} from {low:.0f} to {high:.0f} °C"
