"""Step: the collars of a job, each pattern made once, in the fewest patterns that serve all."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median_low

from teewright.collar.families import Family, Margins, fewest_patterns, trade_off, unserved
from teewright.collar.made import Made
from teewright.collar.order import Effort, Order
from teewright.collar.patterns import name_patterns
from teewright.collar.values import Collar, CollarMap, Tolerance
from teewright.errors import ConvergenceError, GeometryError, InputError, RangeError
from teewright.job.beginning import Begun
from teewright.job.values import Design
from teewright.junction.values import Junction
from teewright.kit.values import Kit
from teewright.resin.amount import void_fraction_in_place

Refused = GeometryError | RangeError | InputError | ConvergenceError
"""Why a collar was not made."""
REFUSALS = (GeometryError, RangeError, InputError, ConvergenceError)
"""The same, to be caught."""
MadeOrNot = Made | Refused
Told = Callable[[str], None]
Maker = Callable[[Sequence[Order], Told], Sequence[MadeOrNot]]
"""Makes collars, all at once if it can; an error in the place of one that cannot be made."""


def one_by_one(effort: Effort) -> Maker:
    """A maker that works in this process, without a placement tolerance.

    Args:
        effort: How finely; its tolerance is not found, because nobody drew samples.
    """
    from teewright.collar.making import make_collar  # noqa: PLC0415 -- heavy, and seldom here

    plain = replace(effort, tolerance=False)

    def make(orders: Sequence[Order], told: Told) -> Sequence[MadeOrNot]:
        found: list[MadeOrNot] = []
        for order in orders:
            told(f"pattern {order.pattern}")
            try:
                found.append(make_collar(order, effort=plain))
            except REFUSALS as error:
                found.append(error)
        return found

    return make


def orders_for(begun: Mapping[str, Begun], kit: Kit) -> dict[str, Order]:
    """One order for each distinct shape.

    A pattern is drawn for the median thickness of the fabric at the set pressures of its
    connections, which differ by tenths of a millimetre, and formed at the least of the pressures
    on their fabric.

    Args:
        begun: Connections with packer and pressure.
        kit: Fabric and rules.

    Returns:
        Name of the pattern -> order.
    """
    names = name_patterns({name: b.junction for name, b in begun.items()})
    groups: dict[str, list[Begun]] = {}
    for name, b in begun.items():
        groups.setdefault(names[name], []).append(b)
    return {pattern: _order(pattern, group, kit) for pattern, group in groups.items()}


def _order(pattern: str, group: Sequence[Begun], kit: Kit) -> Order:
    rules = kit.rules
    thickness = median_low([b.thickness for b in group])
    return Order(
        pattern=pattern,
        junction=group[0].junction,
        fabric=kit.fabric,
        pressure=min(b.on_fabric for b in group),
        thickness=thickness,
        stretch=rules.stretch,
        void_fraction=void_fraction_in_place(kit.fabric, thickness, rules.stretch),
        sleeve_length=min(b.packers[0].sleeve_length for b in group),
        branch_length=rules.branch_length,
        lap=rules.lap,
    )


def margins_of(collars: Mapping[str, Collar], begun: Mapping[str, Begun]) -> Margins:
    """How well each pattern serves each connection.

    Args:
        collars: Patterns that keep their limits.
        begun: Connections.

    Returns:
        Share of the pattern's envelope left over beside what the connection is off; 1 for its
        own shape, -inf where it lies outside or its packer does not carry the collar.
    """
    table = tuple(tuple(_margin(collar, b) for b in begun.values()) for collar in collars.values())
    return Margins(tuple(collars), tuple(begun), table)


def _margin(collar: Collar, begun: Begun) -> float:
    used = off_share(collar.junction, begun.junction, collar.tolerance)
    carried = begun.packers[0].sleeve_length >= collar.sleeve_length - 1e-6
    return 1.0 - used if used < 1.0 and carried else -math.inf


def off_share(design: Junction, found: Junction, tolerance: Tolerance | None) -> float:
    """Greatest share of the envelope that a junction uses up, inf without an envelope [-].

    Args:
        design: Junction that a pattern is made for.
        found: Junction to be served.
        tolerance: Envelope of the pattern.
    """
    off = (
        abs(found.main_diameter - design.main_diameter),
        abs(found.branch_diameter - design.branch_diameter),
        abs(found.angle - design.angle),
        abs(found.fillet - design.fillet),
    )
    same = (found.offset, found.ovality, found.short_axis) == (
        design.offset,
        design.ovality,
        design.short_axis,
    )
    if max(off) == 0.0 and same:
        return 0.0
    if tolerance is None or not same:
        return math.inf
    allowed = (tolerance.main, tolerance.branch, tolerance.angle, tolerance.fillet)
    shares = [o / a if a > 0.0 else math.inf for o, a in zip(off, allowed, strict=True) if o]
    return max(shares)


LEAST_MARGIN = 0.3
"""Share of a pattern's envelope that another junction must leave over [-]; an engineer's choice."""
MOST_FAMILIES = 12
"""Families told of at the most."""


def families_of(margins: Margins) -> tuple[dict[str, str], tuple[Family, ...]]:
    """The pattern of each connection that one serves, in the fewest patterns.

    Args:
        margins: How well each pattern serves each connection.

    Returns:
        Connection -> pattern, and the trade-off between patterns and margin.
    """
    lost = set(unserved(margins, least_margin=LEAST_MARGIN))
    served = [n for n, name in enumerate(margins.connections) if name not in lost]
    if not served:
        return {}, ()
    kept = Margins(
        margins.patterns,
        tuple(margins.connections[n] for n in served),
        tuple(tuple(row[n] for n in served) for row in margins.table),
    )
    best = fewest_patterns(kept, least_margin=LEAST_MARGIN)
    return dict(best.assignment), trade_off(kept, least_margin=LEAST_MARGIN, most=MOST_FAMILIES)


@dataclass(frozen=True, slots=True)
class Patterns:
    """The collars of a job.

    Attributes:
        own: Connection -> pattern of its own shape.
        made: Pattern -> collar, or why there is none.
        assigned: Connection -> pattern that serves it, where one keeps its limits.
        families: Number of patterns against margin.
    """

    own: Mapping[str, str]
    made: Mapping[str, MadeOrNot]
    assigned: Mapping[str, str]
    families: tuple[Family, ...]

    def made_for(self, connection: str) -> Made:
        """The collar that serves a connection; its own also where that breaks a limit.

        Raises:
            GeometryError, RangeError, InputError, ConvergenceError: There is none.
        """
        found = self.made[self.assigned.get(connection, self.own[connection])]
        if isinstance(found, Made):
            return found
        raise found

    def maps_of(
        self, designs: Mapping[str, Design], kept: Sequence[Design]
    ) -> tuple[tuple[str, CollarMap], ...]:
        """Pictures of the patterns in use, under the names that they were given in the end."""
        names = {d.collar.pattern: designs[d.connection_id].collar.pattern for d in kept}
        found = ((new, self.made[old]) for new, old in sorted(names.items()))
        return tuple((new, made.map) for new, made in found if isinstance(made, Made))


def make_patterns(begun: Mapping[str, Begun], kit: Kit, make: Maker, told: Told) -> Patterns:
    """Make the collar of each shape, and serve all connections with the fewest of them.

    Args:
        begun: Connections with packer and pressure.
        kit: Fabric and rules.
        make: Makes collars.
        told: Told what is being done.
    """
    orders = orders_for(begun, kit)
    made = dict(zip(orders, make(tuple(orders.values()), told), strict=True))
    good = {
        pattern: found.collar
        for pattern, found in made.items()
        if isinstance(found, Made) and found.collar.landing.kept
    }
    assigned: dict[str, str] = {}
    families: tuple[Family, ...] = ()
    if good:
        told("finding the fewest patterns")
        assigned, families = families_of(margins_of(good, begun))
    own = name_patterns({name: b.junction for name, b in begun.items()})
    return Patterns(own, made, assigned, families)


def reasons_of(error: Exception) -> tuple[str, ...]:
    """Plain sentences of a refusal."""
    return tuple(getattr(error, "reasons", (f"{error}.",)))
