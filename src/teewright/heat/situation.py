"""One collar's day: from mixing through pack and packer into the wall.

All times count from the start of mixing.
"""

import math
from dataclasses import dataclass, replace

from teewright.errors import InputError, RangeError
from teewright.heat.batch import Pack, Spread, in_pack, on_packer
from teewright.heat.march import COARSE, FINE
from teewright.heat.wall import CuringWall, Effort, State, Wall, cure_in_place
from teewright.resin.kinetics import LAW, Kinetics
from teewright.resin.path import Path, steady

HORIZON = 6.0 * 3600.0
"""How long a batch is followed for its gel [s]."""


@dataclass(frozen=True, slots=True)
class Situation:
    """What happens to one batch.

    Attributes:
        pack: The mixed resin in its pack.
        mixed: Temperature of the resin when mixed [K].
        air: Temperature of the air over time from the start of mixing.
        spread_at: When the collar is soaked and thin [s].
        spread: The soaked collar on the packer.
        inflation: When the packer is at pressure [s], at or after `spread_at`.
        wall: What the collar is pressed between; its paths count from the start of mixing.
        spare_share: Share of the working time kept unused [-].
        hold: Longest that the packer may be held after inflation [s].
    """

    pack: Pack
    mixed: float
    air: Path
    spread_at: float
    spread: Spread
    inflation: float
    wall: Wall
    spare_share: float
    hold: float

    def __post_init__(self) -> None:
        if not 0.0 < self.spread_at <= self.inflation < math.inf:
            raise InputError(
                "are not in order",
                field="spread and inflation",
                value=(self.spread_at, self.inflation),
                allowed="0 < spread <= inflation",
            )
        if not 0.0 <= self.spare_share < 1.0:
            raise InputError(
                "is no share", field="spare share", value=self.spare_share, allowed="0 to below 1"
            )

    def changed(
        self, *, air: float = 0.0, mixed: float = 0.0, ground: float = 0.0, thickness: float = 1.0
    ) -> "Situation":
        """The same situation, warmer by so much [K], the collar so many times as thick [-]."""
        thin = replace(self.spread, thickness=thickness * self.spread.thickness)
        return replace(
            self,
            air=self.air.shifted(air),
            mixed=self.mixed + mixed,
            spread=thin,
            wall=self.wall.warmer(ground).with_thickness(thickness),
        )

    def at(self, *, air: float, mixed: float) -> "Situation":
        """The same situation in steady air [K], with the resin mixed at a temperature [K]."""
        return replace(self, air=steady(air), mixed=mixed)

    def temperatures(self) -> tuple[float, ...]:
        """All temperatures that are given from outside [K]."""
        wall = self.wall
        given = (*self.air.temperatures, self.mixed, wall.ground)
        inside = wall.inside.path.temperatures if wall.inside.film > 0.0 else ()
        far = wall.far.path.temperatures if wall.far.film > 0.0 else ()
        return (*given, *inside, *far)


@dataclass(frozen=True, slots=True)
class Passage:
    """What becomes of one batch.

    Attributes:
        working_time: Until the first place gels [s]; infinite where none does in six hours.
        latest_inflation: The same, spare taken off [s].
        at_inflation: Resin at the planned inflation, or None where it has gelled by then.
        release: When the slowest place is firm, inflated as planned [s]; infinite where it is
            not reached within the hold or the batch gels before.
        peak: Hottest temperature on the way [K].
        curing: The cure in place, or None where the batch gels before.
        imbalance: Largest one of the stages [-].
    """

    working_time: float
    latest_inflation: float
    at_inflation: State | None
    release: float
    peak: float
    curing: CuringWall | None
    imbalance: float


FINE_PASSAGE = Effort()
QUICK_PASSAGE = Effort(resin_cells=8, growth=1.4, tolerance=COARSE)
"""For hundreds of passages: release within 1 % of the fine one, see the tests."""


def passage(
    k: Kinetics, situation: Situation, *, effort: Effort = FINE_PASSAGE, full: bool = True
) -> Passage:
    """Follow one batch from mixing to release.

    Args:
        k: The resin.
        situation: What happens to it.
        effort: How fine.
        full: Follow the cure to the end of the hold, not only until it is firm.

    Returns:
        The passage.

    Raises:
        InputError: Values that cannot be.
        ConvergenceError: A march needed too many steps.
    """
    air, spread_at = situation.air, situation.spread_at
    cells = 10 if effort.tolerance <= FINE else 5
    start = State(0.0, situation.mixed)
    pack = in_pack(
        k,
        situation.pack,
        start,
        air,
        duration=spread_at,
        cells=cells,
        tolerance=effort.tolerance,
    )
    if pack.gel <= spread_at:
        return _lost(pack.gel, situation, pack.peak, pack.imbalance)
    thin = on_packer(
        k,
        situation.spread,
        pack.state,
        air,
        since=spread_at,
        duration=max(HORIZON, 1.001 * (situation.inflation - spread_at)),
        state_at=situation.inflation - spread_at,
        tolerance=effort.tolerance,
    )
    working, state = spread_at + thin.gel, thin.state
    if working <= situation.inflation:
        return _lost(working, situation, max(pack.peak, thin.peak), thin.imbalance)
    curing = cure_in_place(
        k,
        situation.wall,
        state,
        inflation=situation.inflation,
        hold=situation.hold,
        effort=effort,
        until="end" if full else "firm",
    )
    return Passage(
        working_time=working,
        latest_inflation=working * (1.0 - situation.spare_share),
        at_inflation=state,
        release=situation.inflation + curing.firm,
        peak=max(pack.peak, curing.peak),
        curing=curing,
        imbalance=max(pack.imbalance, thin.imbalance, curing.imbalance, key=abs),
    )


def outside_data(k: Kinetics, situation: Situation, *, beyond: bool) -> tuple[float, float]:
    """How far the given temperatures lie below and above those of the resin's data.

    The resin's own heat takes it above them in any case: that is told with the peak and not
    refused, because no data sheet has it.

    Args:
        k: The resin.
        situation: Air, pack, ground and fluids.
        beyond: Allow it.

    Returns:
        Below and above, 0 or more [K].

    Raises:
        RangeError: A temperature is outside and `beyond` is not set.
    """
    given = situation.temperatures()
    low, high = k.valid
    below, above = max(low - min(given), 0.0), max(max(given) - high, 0.0)
    if (below > 0.0 or above > 0.0) and not beyond:
        worst = min(given) if below > 0.0 else max(given)
        raise RangeError("temperature", worst, low=low, high=high, unit="K", law=LAW)
    return below, above


def _lost(working: float, situation: Situation, peak: float, imbalance: float) -> Passage:
    latest = working * (1.0 - situation.spare_share)
    return Passage(working, latest, None, math.inf, peak, None, imbalance)
