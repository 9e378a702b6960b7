"""One `Connection` from its sightings, and the findings where these do not agree."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from teewright.findings import Finding, FindingKind
from teewright.network.matching import CLOCK_TOLERANCE
from teewright.network.merging import Cluster, Frame, Track
from teewright.network.values import Connection, ConnectionKind, Defect, Sighting
from teewright.network.view import clock_distance
from teewright.units import clock_text

CHAINAGE_AGREES = 0.2
"""Sightings that differ by more get a finding [m]."""
CLOCK_AGREES = 0.5
"""The same for their clocks [h]."""
_ROUNDING = 1e-6
_MARGIN = 0.5
"""A pass is not expected to see a connection this near to the end of its reach [m]."""


def build_connection(cluster: Cluster, *, run_id: str, number: int) -> Connection:
    """The connection of a cluster; the latest sighting counts where several say something.

    Args:
        cluster: Its sightings.
        run_id: Run that it joins.
        number: In the run, from 1: in order of chainage unless it had another before.
    """
    return of_sightings(
        _latest_first(cluster),
        connection_id=f"{run_id}/{number:02d}",
        run_id=run_id,
        chainage=cluster.chainage,
        angle=next((spot.angle for _, spot in cluster.spots if spot.angle is not None), None),
    )


def of_sightings(
    sightings: tuple[Sighting, ...],
    *,
    connection_id: str,
    run_id: str,
    chainage: float,
    angle: float | None,
) -> Connection:
    """The connection of some sightings; the first that says something counts.

    Args:
        sightings: At least one, the latest first.
        connection_id: Its id.
        run_id: Run that it joins.
        chainage: From the upstream node [m].
        angle: Between the axes [rad], or None.
    """
    kinds = (s.kind for s in sightings if s.kind is not ConnectionKind.UNKNOWN)
    return Connection(
        id=connection_id,
        run_id=run_id,
        chainage=chainage,
        clock=next((s.clock for s in sightings if s.clock is not None), None),
        diameter=next((s.diameter for s in sightings if s.diameter is not None), None),
        angle=angle,
        kind=next(kinds, ConnectionKind.UNKNOWN),
        is_open=next((s.is_open for s in sightings if s.is_open is not None), None),
        defects=_defects(sightings),
        sightings=sightings,
    )


def disagreements(connection: Connection) -> list[Finding]:
    """Findings where the sightings of one connection do not agree."""
    seen = connection.sightings
    found = [
        _differ(connection, "chainage", [f"{s.chainage:.2f} m" for s in seen])
        if _spread(s.chainage for s in seen) > CHAINAGE_AGREES + _ROUNDING
        else None,
        _differ(connection, "clock", [clock_text(s.clock) for s in seen])
        if _turned([s.clock for s in seen if s.clock is not None]) > CLOCK_AGREES
        else None,
        _differ(connection, "diameter", [f"{1000 * (s.diameter or 0):.0f} mm" for s in seen])
        if _spread(s.diameter for s in seen if s.diameter) > 1e-3
        else None,
        _differ(connection, "kind", [s.kind.value for s in seen])
        if len({s.kind for s in seen} - {ConnectionKind.UNKNOWN}) > 1
        else None,
        _differ(connection, "state", [_state(s) for s in seen])
        if len({s.is_open for s in seen} - {None}) > 1
        else None,
    ]
    return [finding for finding in found if finding]


def unseen(cluster: Cluster, connection: Connection, tracks: Iterable[Track]) -> list[Finding]:
    """Findings where a pass went by a connection that another saw and did not code it."""
    names = {track.name for track, _ in cluster.spots}
    missed = [
        track
        for track in tracks
        if track.name not in names
        and not track.declared
        and track.reach[0] + _MARGIN < cluster.chainage < track.reach[1] - _MARGIN
    ]
    return [
        Finding(
            FindingKind.DOUBT,
            "not-seen-by-all",
            f"the pass {track.name} went by at {cluster.chainage:.2f} m and codes no connection",
            connection.sightings[0].place,
            subject=connection.id,
        )
        for track in missed
    ]


def perhaps_one(
    clusters: Sequence[Cluster], connections: Sequence[Connection], frame: Frame
) -> list[Finding]:
    """Findings where two passes see one connection each, at one place with unlike clocks."""
    found: list[Finding] = []
    for i, a in enumerate(clusters):
        for b, connection in zip(clusters[i + 1 :], connections[i + 1 :], strict=True):
            if b.chainage - a.chainage > 1.5:
                break
            if _perhaps_one(a, b, frame):
                text = (
                    f"stands where another pass sees {connections[i].id}, with the clock at "
                    f"{clock_text(b.clock)} instead of {clock_text(a.clock)}: kept as two"
                )
                place = connection.sightings[0].place
                found.append(
                    Finding(FindingKind.DOUBT, "perhaps-one", text, place, subject=connection.id)
                )
    return found


def _perhaps_one(a: Cluster, b: Cluster, frame: Frame) -> bool:
    if {track.name for track, _ in a.spots} & {track.name for track, _ in b.spots}:
        return False
    if a.clock is None or b.clock is None or clock_distance(a.clock, b.clock) <= CLOCK_TOLERANCE:
        return False
    return b.chainage - a.chainage <= frame.tolerance(a.spots[0][0], b.spots[0][0]) + _ROUNDING


def _latest_first(cluster: Cluster) -> tuple[Sighting, ...]:
    spots = sorted(cluster.spots, key=lambda pair: pair[0].order, reverse=True)
    return tuple(sighting for _, spot in spots for sighting in spot.sightings)


def _defects(sightings: Sequence[Sighting]) -> tuple[Defect, ...]:
    kept: list[Defect] = []
    seen: set[tuple[str, str]] = set()
    latest = sightings[0].inspection
    for sighting in sightings:
        fresh = [
            defect
            for defect in sighting.defects
            if sighting.inspection == latest or (defect.code, defect.char1) not in seen
        ]
        for defect in fresh:
            kept += [] if any(_repeats(defect, k) for k in kept) else [defect]
        seen |= {(defect.code, defect.char1) for defect in fresh}
    return tuple(kept)


def _repeats(a: Defect, b: Defect) -> bool:
    """Whether two defects are one line of a file written twice."""
    return replace(a, place=b.place) == b


def _spread(values: Iterable[float | None]) -> float:
    known = [value for value in values if value is not None]
    return max(known, default=0.0) - min(known, default=0.0)


def _turned(clocks: Sequence[float]) -> float:
    return max((clock_distance(a, b) for a in clocks for b in clocks), default=0.0)


def _state(sighting: Sighting) -> str:
    return {True: "open", False: "closed", None: "not coded"}[sighting.is_open]


def _differ(connection: Connection, what: str, values: Sequence[str]) -> Finding:
    said = [f"{v} ({s.place})" for s, v in zip(connection.sightings, values, strict=True)]
    text = f"the sightings differ in {what}: {', '.join(said)}"
    place = connection.sightings[0].place
    return Finding(
        FindingKind.DOUBT, f"{what}-differs", text, place, ", ".join(values), connection.id
    )
