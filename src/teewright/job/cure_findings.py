"""What the computed cure of a job makes doubtful, and what it says of the deadlines."""

import math
from collections.abc import Iterable, Iterator, Sequence

from teewright.findings import Finding, FindingKind
from teewright.heat.values import Forecast
from teewright.kit.values import Packer, Resin
from teewright.pressure.limits import rating_share
from teewright.resin.values import CureTimes, Governs
from teewright.units import BAR, MINUTE, celsius


def packer_findings(
    connection_id: str, found: Forecast | None, packer: Packer, pressure: float | None
) -> tuple[Finding, ...]:
    """A packer that is not rated for its pressure once the curing resin has heated it.

    Args:
        connection_id: Connection.
        found: Its cure.
        packer: The packer used.
        pressure: That it is set to [Pa].
    """
    if found is None or pressure is None or not packer.derating:
        return ()
    first, last = packer.derating[0][0], packer.derating[-1][0]
    skin = found.peak if found.peak_bladder is None else found.peak_bladder
    if skin > last:
        said = f"no rating is told above {celsius(last):.0f} °C"
    else:
        rated = packer.rating * rating_share(packer.derating, max(skin, first))
        if rated >= pressure:
            return ()
        said = f"it is rated {rated / BAR:.2f} bar there, less than the {pressure / BAR:.2f} set"
    return (
        Finding(
            FindingKind.DOUBT,
            "packer-too-hot",
            f"the resin heats packer {packer.name} to {celsius(skin):.0f} °C, and {said}: "
            "a slower resin, less of it, or a packer that stands more heat would help",
            value=f"{celsius(skin):.0f} °C",
            subject=connection_id,
        ),
    )


def liner_findings(
    connection_id: str, found: Forecast | None, liner_temperature: float | None
) -> tuple[Finding, ...]:
    """A liner that the curing resin makes hotter than it stands.

    Args:
        connection_id: Connection.
        found: Its cure.
        liner_temperature: Hottest that the liner stands [K], or None where not told.
    """
    return tuple(
        Finding(
            FindingKind.DOUBT,
            "liner-too-hot",
            f"{said[0].lower()}{said[1:].rstrip('.')}: a slower resin, less of it, or a colder "
            "hour would help",
            value=f"{celsius(hot):.0f} °C",
            subject=connection_id,
        )
        for hot, said in _liner(found, liner_temperature)
    )


def liner_review(found: Forecast | None, liner_temperature: float | None) -> tuple[str, ...]:
    """The same in one sentence, for the sheet of the collar.

    Args:
        found: Its cure.
        liner_temperature: Hottest that the liner stands [K], or None where not told.
    """
    return tuple(said for _, said in _liner(found, liner_temperature))


def _liner(found: Forecast | None, limit: float | None) -> Iterator[tuple[float, str]]:
    """Temperature of a liner that is too hot, in words too."""
    hot = None if found is None else found.peak_liner
    if hot is not None and limit is not None and hot > limit:
        stands = f"it stands {celsius(limit):.0f} °C"
        yield hot, f"The resin heats the liner to {celsius(hot):.0f} °C, and {stands}."


def not_computed(resin: Resin, forecasts: Sequence[Forecast | None]) -> tuple[Finding, ...]:
    """Collars whose cure could not be computed, though the heat of reaction is told."""
    missing = sum(found is None for found in forecasts)
    if resin.heat <= 0.0 or not missing:
        return ()
    return (
        Finding(
            FindingKind.DOUBT,
            "no-cure-computed",
            f"the cure of {missing} of {len(forecasts)} collars could not be computed from the "
            f"{'readings' if resin.readings else 'sheet'} of {resin.name}: the times of its data "
            "sheet stand alone; check them and the times of the shift",
            value=str(missing),
        ),
    )


def cure_findings(connection_id: str, found: Forecast | None) -> tuple[Finding, ...]:
    """A release that no time makes as sure as wanted, told as a doubt.

    Where a later time does, the release waits for it: see `resin.governing`.
    """
    if found is None or found.chance >= found.wanted or math.isfinite(found.sure):
        return ()
    return (
        Finding(
            FindingKind.DOUBT,
            "release-not-sure",
            f"at the data sheet's release the wall is hard in {100.0 * found.chance:.0f} % of the "
            f"cases computed, {100.0 * found.wanted:.0f} % are wanted and never reached: test a "
            "sample first, or take a resin that works longer or cures sooner",
            value=f"{100.0 * found.chance:.0f} %",
            subject=connection_id,
        ),
    )


def governing_findings(cures: Iterable[CureTimes]) -> tuple[Finding, ...]:
    """Deadlines that the computed cure makes stricter than the data sheet, once for the job."""
    known = [(cure, cure.sheet) for cure in cures if cure.sheet is not None]
    sooner = [
        told[0] - cure.latest_inflation
        for cure, told in known
        if cure.latest_by is Governs.COMPUTED
    ]
    later = [
        cure.release_time - told[1] for cure, told in known if cure.release_by is Governs.COMPUTED
    ]
    parts = (
        ("computed-latest", "the latest inflation", "earlier", sooner),
        ("computed-release", "the release", "later", later),
    )
    return tuple(
        Finding(
            FindingKind.NOTE,
            rule,
            f"{what} of {len(minutes)} of {len(known)} collars is the computed one, up to "
            f"{max(minutes) / MINUTE:.0f} min {how} than the data sheet's",
            value=f"{max(minutes) / MINUTE:.0f} min",
        )
        for rule, what, how, minutes in parts
        if minutes
    )
