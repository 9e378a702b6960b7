"""What is told of a resin's cure beside its times, and what is taken where it is not told."""

from dataclasses import dataclass

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
    """Readings of one sample of a resin that cures at one temperature.

    Attributes:
        name: Of the sample.
        temperature: At which it is held [K].
        times: Since mixing, ascending [s].
        conversions: Read at these times [-]; empty where the heat flow was read.
        heat_flows: Read at these times, per mass of mix [W/kg]; empty where conversions were.
    """

    name: str
    temperature: float
    times: tuple[float, ...]
    conversions: tuple[float, ...]
    heat_flows: tuple[float, ...]
