"""A collar's cure on the day."""

from dataclasses import dataclass

from teewright.trace import TraceRow


@dataclass(frozen=True, slots=True)
class Forecast:
    """What becomes of one batch and its collar. All times count from the start of mixing.

    Attributes:
        cases: Cases of which it is made.
        planned: When the packer is taken to be at pressure [s].
        told: Release of the data sheet, that the chance is told for [s].
        working: Working time on the packer, 5, 50 and 95 % of the cases [s].
        release: Earliest release, the same [s]; infinite where a batch gels too early or is not
            firm within the longest hold.
        wanted: Chance that is wanted at the release [-].
        sure: Release at which that chance is reached [s].
        chance: Of a wall that is hard at `told` [-].
        workable: Chance that the batch has not gelled at `planned` [-].
        peak: Hottest temperature of the resin on the way, in the best case [K].
        curve: (time [s], conversion at inner face, middle and host side [-]) of the best case.
        notes: What has to be said beside the times, one sentence each.
        assumed: What the fit takes for granted, in words.
        trace: Numbers in checking order.
        latest: Latest inflation, from the 5 % of the working time, spare taken off [s], or None
            where it was not told.
        peak_bladder: Hottest of the face to the bladder, in the best case [K], or None where
            the batch gels before it is inflated.
        peak_liner: Hottest of the face to the liner, the same.
    """

    cases: int
    planned: float
    told: float
    working: tuple[float, float, float]
    release: tuple[float, float, float]
    wanted: float
    sure: float
    chance: float
    workable: float
    peak: float
    curve: tuple[tuple[float, float, float, float], ...]
    notes: tuple[str, ...]
    assumed: tuple[str, ...]
    trace: tuple[TraceRow, ...]
    latest: float | None = None
    peak_bladder: float | None = None
    peak_liner: float | None = None


@dataclass(frozen=True, slots=True)
class DayWindow:
    """Deadlines at other temperatures than the day's, for one collar. Times count from mixing.

    Attributes:
        air: Steady temperatures of the air, ascending [K].
        packs: Temperatures of the packs when mixed, ascending [K].
        latest: Latest inflation, one row a pack temperature, one value an air temperature [s].
        release: Earliest release, likewise [s]; infinite where the batch gels before the
            planned inflation or is not firm within the longest hold.
        today: Temperature of the air that the job is planned for [K].
        planned: When the packer is taken to be at pressure [s].
        thickness: Of the collar [m].
        main_diameter: Inside the liner [m].
        ground: Temperature of the ground, the same throughout [K].
    """

    air: tuple[float, ...]
    packs: tuple[float, ...]
    latest: tuple[tuple[float, ...], ...]
    release: tuple[tuple[float, ...], ...]
    today: float
    planned: float
    thickness: float
    main_diameter: float
    ground: float
