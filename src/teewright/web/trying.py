"""What would become of a collar if its junction were another: answered at once.

Shape, packer, pressure, times and wall are found anew; how the fabric lands is not, because
that takes forming runs. Until they are made, the wall is as thin as the present collar lands.
"""

from dataclasses import dataclass, replace

from teewright.collar.made import Made
from teewright.collar.order import Order
from teewright.collar.tolerance import Case, inside
from teewright.collar.values import Tolerance
from teewright.errors import UnknownNameError
from teewright.job.beginning import Begun, begin
from teewright.job.collars import REFUSALS, off_share, orders_for, reasons_of
from teewright.job.resolve import Given, Inputs, resolve
from teewright.job.values import Design, Designs
from teewright.job.walls import seals
from teewright.kit.values import Kit
from teewright.network.values import Connection
from teewright.pressure.values import PressureWindow
from teewright.resin.amount import void_fraction_in_place
from teewright.trace import Origin
from teewright.web.office import Known

TRIED = "tried on the page"
"""Source of a number that someone tries."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A junction and a place of the packer to be tried; None leaves what is known.

    Attributes:
        angle: Between the axes [rad].
        main: Inner diameter of the lined main [m].
        branch: Inner diameter of the branch [m].
        fillet: Edge radius of the cut [m].
        along: Packer off along the main, upstream positive [m].
        round: Packer turned about the main [rad].
        keep: Whether the present collar is to serve it, not one of its own.
    """

    angle: float | None = None
    main: float | None = None
    branch: float | None = None
    fillet: float | None = None
    along: float = 0.0
    round: float = 0.0
    keep: bool = False

    @property
    def placed(self) -> Case:
        """How the packer is off."""
        return Case(along=self.along, round=self.round)


@dataclass(frozen=True, slots=True)
class Shape:
    """Sizes as they are tried [m], [rad]."""

    angle: float
    main: float
    branch: float
    fillet: float


@dataclass(frozen=True, slots=True)
class Instant:
    """What is known at once.

    Attributes:
        shape: As tried.
        own: Whether it is the shape that is known of the connection.
        reasons: Why no collar can be set here, one sentence each; then nothing else is known.
        packers: That fit, the one used first.
        pressure: (low, set, high) [Pa], or None.
        design: Times, wall and bypass with the present collar's thickness, or None.
        not_carried: Why the present collar cannot be set in this shape as it is.
        serves: Share of the present collar's tolerance that the shape uses up, 0 for its own
            shape and infinite beyond it or where none is known; None without a collar [-].
        placed: Whether the packer's place lies within the tolerance; None where that is not known.
        seals: Shortest seal along the main, packer's place counted in, and up the branch [m];
            None without a collar.
    """

    shape: Shape
    own: bool
    reasons: tuple[str, ...] = ()
    packers: tuple[str, ...] = ()
    pressure: tuple[float, float, float] | None = None
    design: Design | None = None
    not_carried: tuple[str, ...] = ()
    serves: float | None = None
    placed: bool | None = None
    seals: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Bench:
    """What a try of one connection stands on.

    Attributes:
        connection: The connection.
        inputs: Its own.
        kit: What the contractor has.
        known: Everything that is known.
        design: Its design, or None where no collar was made.
        made: Its collar with the picture, or None.
    """

    connection: Connection
    inputs: Inputs
    kit: Kit
    known: Known
    design: Design | None
    made: Made | None


def bench_of(known: Known, connection_id: str) -> Bench:
    """What a try of one connection stands on.

    Raises:
        UnknownNameError: There is no such connection.
    """
    loaded = known.loaded
    found = {c.id: c for c in loaded.survey.connections} if loaded else {}
    if loaded is None or connection_id not in found:
        raise UnknownNameError("is not in the survey", field="connection", value=connection_id)
    inputs = resolve(loaded.survey, loaded.site, found[connection_id])
    design = known.designs.of(connection_id) if known.designs else None
    made = made_for(known.designs, design) if known.designs and design else None
    return Bench(found[connection_id], inputs, loaded.kit, known, design, made)


def made_for(designs: Designs, design: Design) -> Made | None:
    """The collar of a design with its picture, None where the picture was not kept."""
    found = dict(designs.maps).get(design.collar.pattern)
    return None if found is None else Made(design.collar, found)


def wished(inputs: Inputs, wish: Wish) -> Inputs:
    """Inputs with what is tried in place of what is known."""
    host = None if wish.main is None else wish.main + 2.0 * inputs.liner_thickness.value
    return replace(
        inputs,
        host_diameter=_given(inputs.host_diameter, host),
        branch_diameter=_given(inputs.branch_diameter, wish.branch),
        angle=_given(inputs.angle, wish.angle),
        fillet=_given(inputs.fillet, wish.fillet),
    )


def _given(known: Given, value: float | None) -> Given:
    return known if value is None else Given(value, Origin.INPUT, TRIED)


def shape_of(inputs: Inputs) -> Shape:
    """Sizes of a junction."""
    return Shape(
        inputs.angle.value,
        inputs.lined_diameter,
        inputs.branch_diameter.value,
        inputs.fillet.value,
    )


def instant(bench: Bench, wish: Wish) -> Instant:
    """What is known at once of a junction that is tried.

    Args:
        bench: The connection.
        wish: What is tried.
    """
    inputs = wished(bench.inputs, wish)
    shape, own = shape_of(inputs), shape_of(inputs) == shape_of(bench.inputs)
    try:
        begun = begin(bench.connection.id, inputs, bench.kit)
    except REFUSALS as error:
        return Instant(shape, own, reasons_of(error))
    started = Instant(
        shape,
        own,
        packers=tuple(packer.name for packer in begun.packers),
        pressure=_pressures(begun.window),
    )
    return started if bench.made is None else _with_collar(started, begun, bench, wish)


def _with_collar(started: Instant, begun: Begun, bench: Bench, wish: Wish) -> Instant:
    """The rest, with the collar that there is."""
    from teewright.job.designing import finish  # noqa: PLC0415 -- heavy, only where one is tried

    loaded, made = bench.known.loaded, bench.made
    if loaded is None or made is None:
        return started
    collar = made.collar
    flange, branch = seals(begun.inputs, collar)
    found = replace(
        started,
        serves=off_share(collar.junction, begun.junction, collar.tolerance),
        placed=_placed(wish, collar.tolerance),
        seals=(flange - abs(wish.along), branch),
    )
    try:
        design = finish(begun, made, bench.kit, loaded.site)
    except REFUSALS as error:
        return replace(found, not_carried=reasons_of(error))
    pressure = _pressures(design.pressure)  # the forming run may have moved it
    return replace(found, design=design, packers=design.packers, pressure=pressure)


def _pressures(window: PressureWindow) -> tuple[float, float, float] | None:
    return None if window.set is None else (window.low, window.set, window.high)


def _placed(wish: Wish, tolerance: Tolerance | None) -> bool | None:
    case = wish.placed
    if case == Case():
        return True
    if tolerance is None or tolerance.runs == 0:
        return None
    return inside(case, tolerance)


def order_of(bench: Bench, wish: Wish) -> tuple[Order, Case]:
    """What must be made and how it is then placed.

    Args:
        bench: The connection.
        wish: What is tried; with `keep` the present collar is made and formed in the junction
            that is tried.

    Raises:
        CannotBeMadeError, GeometryError, RangeError: No packer and no pressure serve it.
    """
    begun = begin(bench.connection.id, wished(bench.inputs, wish), bench.kit)
    if not wish.keep or bench.design is None:
        (order,) = orders_for({bench.connection.id: begun}, bench.kit).values()
        return order, wish.placed
    design, rules = bench.design, bench.kit.rules
    collar, junction = design.collar, begun.junction
    fabric = next((f for f in bench.kit.fabrics if f.name == collar.fabric), bench.kit.fabric)
    order = Order(
        pattern=collar.pattern,
        junction=collar.junction,
        fabric=fabric,
        pressure=collar.landing.pressure,
        thickness=collar.thickness,
        stretch=rules.stretch,
        void_fraction=void_fraction_in_place(fabric, collar.thickness, rules.stretch),
        sleeve_length=collar.sleeve_length,
        branch_length=collar.branch_length,
        lap=rules.lap,
    )
    off = Case(
        along=wish.along,
        round=wish.round,
        main=junction.main_diameter - collar.junction.main_diameter,
        branch=junction.branch_diameter - collar.junction.branch_diameter,
        angle=junction.angle - collar.junction.angle,
        fillet=junction.fillet - collar.junction.fillet,
    )
    return order, off
