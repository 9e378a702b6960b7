"""What groundwater that comes in costs a year, and what sealing one connection saves."""

import math
from dataclasses import dataclass

from teewright.errors import InputError
from teewright.numerics.limits import within
from teewright.trace import Origin, TraceRow
from teewright.units import HOUR

YEAR = 365.25 * 24.0 * HOUR
"""Julian year [s]."""
FLOW = (0.0, 1.0)
"""Flows of groundwater through one connection [m3/s]."""
SHARE = (0.0, 1.0)
"""Shares of the year [-]."""
VOLUME = "the volume of a year"


@dataclass(frozen=True, slots=True)
class WaterRates:
    """What a cubic metre of groundwater in the sewer costs, as declared by the owner.

    Attributes:
        currency: Three letters.
        pumping: Per m3.
        treatment: Per m3, only what rises with the volume.
        source: Where the figures came from.
    """

    currency: str
    pumping: float
    treatment: float
    source: str

    @property
    def per_volume(self) -> float:
        """Both together, per m3."""
        return self.pumping + self.treatment


@dataclass(frozen=True, slots=True)
class Saving:
    """Groundwater and its cost before and after sealing one connection.

    Attributes:
        currency: Three letters.
        volume_before: A year [m3].
        volume_after: A year [m3].
        volume_kept_out: A year, never below 0 [m3].
        cost_before: A year.
        cost_after: A year.
        yearly: Saved a year, never below 0.
        text: One sentence for the list.
        trace: Flows and volumes in checking order; money has no row.
    """

    currency: str
    volume_before: float
    volume_after: float
    volume_kept_out: float
    cost_before: float
    cost_after: float
    yearly: float
    text: str
    trace: tuple[TraceRow, ...]


def yearly_volume(flow: float, share_of_year: float = 1.0) -> float:
    """Water that a flow brings in a year [m3].

    Args:
        flow: While the groundwater stands over the connection, its mean over that time [m3/s].
        share_of_year: Share of the year in which it does [-].

    Returns:
        Volume [m3].

    Raises:
        RangeError: A flow or a share that cannot be.
    """
    within(flow, FLOW, quantity="flow", unit="m3/s", law=VOLUME)
    within(share_of_year, SHARE, quantity="share of the year", unit="-", law=VOLUME)
    return flow * YEAR * share_of_year


def saving(before: float, after: float, rates: WaterRates, *, share_of_year: float = 1.0) -> Saving:
    """What sealing one connection saves a year.

    The flow through a thin gap goes with the head, so that the mean head of the year gives the
    mean flow; through a hole it goes with the root of the head, and the mean head gives a
    little too much.

    Args:
        before: Flow as it is [m3/s].
        after: Flow that is left once it is sealed, e.g. what the leak test allows [m3/s].
        rates: Costs of a cubic metre.
        share_of_year: Share of the year in which groundwater stands over it [-].

    Returns:
        Volumes, costs and the saving.

    Raises:
        InputError: A rate that is negative or no number.
        RangeError: A flow or a share that cannot be.
    """
    amount_of("pumping", rates.pumping)
    amount_of("treatment", rates.treatment)
    was, stays = yearly_volume(before, share_of_year), yearly_volume(after, share_of_year)
    kept = max(0.0, was - stays)
    yearly = kept * rates.per_volume
    text = (
        f"keeps out {kept:.0f} of {was:.0f} m3 a year, worth {yearly:.2f} {rates.currency} a year"
        if kept > 0.0
        else f"saves nothing: {was:.1f} m3 a year come in, {stays:.1f} m3 a year are allowed after"
    )
    return Saving(
        currency=rates.currency,
        volume_before=was,
        volume_after=stays,
        volume_kept_out=kept,
        cost_before=was * rates.per_volume,
        cost_after=stays * rates.per_volume,
        yearly=yearly,
        text=text,
        trace=_rows(before, after, share_of_year),
    )


def amount_of(field: str, value: float) -> float:
    """An amount as it is.

    Args:
        field: Name of the field.
        value: The amount.

    Returns:
        The amount.

    Raises:
        InputError: It is negative or no number.
    """
    if not 0.0 <= value < math.inf:
        raise InputError("is no amount", field=field, value=value, allowed="0 or more")
    return value


def _rows(before: float, after: float, share: float) -> tuple[TraceRow, ...]:
    kept, given = max(0.0, before - after) * share, "as declared"
    return (
        TraceRow("entry as it is", "Q_e", before, "l/h", "", "assessment", Origin.INPUT),
        TraceRow("entry left once sealed", "Q_s", after, "l/h", "", given, Origin.INPUT),
        TraceRow("share of the year under water", "s_y", share, "%", "", given, Origin.INPUT),
        TraceRow("kept out", "Q_k", kept, "m3/a", "max(Q_e − Q_s; 0) s_y"),
    )
