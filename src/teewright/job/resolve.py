"""What a design needs to know of one connection, with every default named."""

from collections.abc import Iterable
from dataclasses import dataclass

from teewright.findings import Finding, FindingKind
from teewright.job.tides import swing_of
from teewright.network.branch_pipe import BranchPipe, DeclaredFilling
from teewright.network.branches import branch_rise
from teewright.network.conditions import FULLY, Defaults, RunConditions, Site, Weather
from teewright.network.levels import Levels, connection_levels, run_conditions
from teewright.network.notes import note_of
from teewright.network.values import Connection, ConnectionKind, Run, Survey
from teewright.trace import Origin, TraceRow
from teewright.units import shown


@dataclass(frozen=True, slots=True)
class Given:
    """One input value and where it came from.

    Attributes:
        value: [SI].
        origin: Given, or assumed from the defaults.
        source: The file or rule.
    """

    value: float
    origin: Origin
    source: str

    @property
    def assumed(self) -> bool:
        """Whether it is a default."""
        return self.origin is Origin.ASSUMED


DEFAULT = "default, to be confirmed on site"
"""Source of a value that nobody gave."""
LEVEL = Given(0.0, Origin.ASSUMED, DEFAULT)
"""A branch at the invert of the main: no other has more water and soil over it."""
ROUND = Given(0.0, Origin.ASSUMED, DEFAULT)
"""A branch that is not oval."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """Inputs of the design of one connection.

    Attributes:
        host_diameter: Inner diameter of the host pipe [m].
        liner_thickness: [m].
        branch_diameter: [m].
        angle: Between the axes [rad].
        fillet: Edge radius of the cut [m].
        ovality: Of the host [-].
        head: Groundwater above the invert of the main, below 0 where it is lower [m].
        cover: Ground above the crown of the main [m].
        mean_flow: Mean dry-weather flow [m3/s].
        air: Temperature of the resin when mixed [K].
        pipe: Temperature of the main's wall [K].
        cracked: Whether the host is cracked; None where not known.
        host_thickness: Wall of the host that is still there [m], or None where not known.
        host_strength: Tension that its ring is allowed [Pa], or None where not known.
        over_pumping: Flow that pumps carry round the packer, as declared [m3/s].
        branch_rise: Invert of the branch above that of the main where it joins [m].
        branch_ovality: Of the branch [-].
        fully_deteriorated: Whether the host leaves soil and traffic to the collar, as declared.
        deterioration_told: Whether anybody declared what the host still carries.
        soil_modulus: Of soil reaction [Pa]; not needed where the host carries the soil.
        traffic: Pressure at the crown of the main [Pa], likewise; not used where a wheel is told.
        wheel_load: Of each wheel on the road over the main [N], or None where not told.
        wheels_beside: Distances of other wheels from the one over the crown [m].
        head_least: Least groundwater above the invert where open water moves it [m], else None.
        water: Rows on the open water, in checking order; empty where there is none.
        branch_pipe: What the pipe of the branch stands, or None where nothing is told.
        fillings: Voids beside the collar that its resin is to fill.
    """

    host_diameter: Given
    liner_thickness: Given
    branch_diameter: Given
    angle: Given
    fillet: Given
    ovality: Given
    head: Given
    cover: Given
    mean_flow: Given
    air: Given
    pipe: Given
    cracked: bool | None
    host_thickness: float | None = None
    host_strength: float | None = None
    over_pumping: float = 0.0
    branch_rise: Given = LEVEL
    branch_ovality: Given = ROUND
    fully_deteriorated: bool = False
    deterioration_told: bool = False
    soil_modulus: float = 0.0
    traffic: float = 0.0
    wheel_load: float | None = None
    wheels_beside: tuple[float, ...] = ()
    head_least: float | None = None
    water: tuple[TraceRow, ...] = ()
    branch_pipe: BranchPipe | None = None
    fillings: tuple[DeclaredFilling, ...] = ()

    @property
    def lined_diameter(self) -> float:
        """Inner diameter of the lined main [m]."""
        return self.host_diameter.value - 2.0 * self.liner_thickness.value

    @property
    def head_over_crown(self) -> float:
        """Groundwater above the crown of the main [m], not below 0."""
        return max(0.0, self.head.value - self.host_diameter.value)


# name in Inputs -> (plain name, symbol, unit shown)
LABELS: dict[str, tuple[str, str, str]] = {
    "host_diameter": ("host pipe, inside", "D_h", "mm"),
    "liner_thickness": ("liner thickness", "t_l", "mm"),
    "branch_diameter": ("branch, inside", "d", "mm"),
    "angle": ("branch angle", "θ", "deg"),
    "fillet": ("edge radius of the cut", "ρ", "mm"),
    "ovality": ("ovality of the host", "q", "%"),
    "head": ("groundwater over the invert", "h", "m"),
    "cover": ("ground over the crown", "c", "m"),
    "branch_rise": ("invert of the branch over that of the main", "z_d", "mm"),
    "branch_ovality": ("ovality of the branch", "q_d", "%"),
    "mean_flow": ("mean dry-weather flow", "Q_m", "l/s"),
    "air": ("resin when mixed", "T_m", "degC"),
    "pipe": ("wall of the main", "T_p", "degC"),
}


def _given(value: float | None, source: str, default: float) -> Given:
    if value is None:
        return Given(default, Origin.ASSUMED, DEFAULT)
    return Given(value, Origin.INPUT, source)


def _angle(connection: Connection, note_angle: float | None, defaults: Defaults) -> Given:
    known = note_angle if note_angle is not None else connection.angle
    preformed = connection.kind is ConnectionKind.JUNCTION
    return _given(known, "site", defaults.angle_junction if preformed else defaults.angle_other)


def _cover(levels: Levels, host: float, default: float) -> Given:
    cover = None
    if levels.invert is not None and levels.ground is not None:
        cover = max(0.0, levels.ground - levels.invert - host)
    return _given(cover, "levels of the nodes", default)


@dataclass(frozen=True, slots=True)
class Heads:
    """Groundwater over the invert of the main.

    Attributes:
        greatest: What the wall and the lower end of the window are checked with.
        least: Where open water moves it [m], else None; what a cracked host is held by.
        trace: Rows on the open water.
    """

    greatest: Given
    least: float | None
    trace: tuple[TraceRow, ...]


def heads_of(site: Site, levels: Levels) -> Heads:
    """Greatest and least groundwater at a connection, of the nodes and of open water.

    The greatest is the higher of the highest level that the nodes tell and of what the open
    water brings. The least lies below the nodes' level by the whole fall of the swing; where the
    nodes tell none, it is what the open water leaves.

    Args:
        site: Levels of open water, and the default.
        levels: At the connection.

    Raises:
        InputError: The levels of the open water are not a series.
        RangeError: One of them is outside the range of its law.
    """
    nodes, told, invert = levels.groundwater, "levels of the nodes", levels.invert
    swing = swing_of(site, levels) if invert is not None else None
    if swing is None or invert is None:
        over = None if invert is None or nodes is None else nodes - invert
        return Heads(_given(over, told, site.defaults.head), None, ())
    greatest = swing.greatest if nodes is None else max(nodes, swing.greatest)
    least, formula = swing.least, "z_o − s_o (z_o − z_o,min) − invert"
    if nodes is not None:
        least, formula = nodes - swing.fall, "groundwater of the nodes − Δz_g − invert"
    by_nodes = nodes == greatest
    name = "least groundwater over the invert"
    row = TraceRow(name, "h_min", least - invert, "m", formula)
    source = told if by_nodes else f"open water: {swing.source}"
    head = Given(greatest - invert, Origin.INPUT, source)
    return Heads(head, least - invert, (*swing.trace, row))


def lining_thickness(declared: RunConditions, defaults: Defaults) -> Given:
    """Thickness of the liner of a run [m]."""
    return _given(declared.liner_thickness, "site", defaults.liner_thickness)


def resolve(survey: Survey, site: Site, connection: Connection) -> Inputs:
    """Inputs for one connection; what nobody knows comes from the site's defaults."""
    run: Run = survey.run(connection.run_id)
    declared = run_conditions(site, run)
    note = note_of(survey, site, connection)
    defaults = site.defaults
    weather = site.weather or Weather(defaults.air, defaults.pipe)
    known_weather = site.weather is not None
    host = _given(run.diameter, "survey", defaults.main_diameter)
    levels = connection_levels(survey, site, connection)
    heads = heads_of(site, levels)
    branch = note.diameter if note and note.diameter is not None else connection.diameter
    rise, _ = branch_rise(survey, site, connection, bore=host.value)
    fully = declared.deteriorated == FULLY
    return Inputs(
        host_diameter=host,
        liner_thickness=lining_thickness(declared, defaults),
        branch_diameter=_given(branch, "survey or site", defaults.branch_diameter),
        angle=_angle(connection, note.angle if note else None, defaults),
        fillet=_given(note.fillet if note else None, "site", defaults.fillet),
        ovality=_given(declared.ovality, "site", defaults.ovality),
        head=heads.greatest,
        cover=_cover(levels, host.value, defaults.cover),
        mean_flow=_given(declared.mean_flow, "site", defaults.mean_flow),
        air=_given(weather.air if known_weather else None, weather.source, defaults.air),
        pipe=_given(weather.pipe if known_weather else None, weather.source, defaults.pipe),
        cracked=True if fully else declared.host_cracked,
        host_thickness=declared.host_thickness,
        host_strength=declared.host_strength,
        over_pumping=declared.over_pumping,
        branch_rise=_given(rise, "site and levels of the nodes", 0.0),
        branch_ovality=_given(
            note.branch_ovality if note else None, "site", defaults.branch_ovality
        ),
        fully_deteriorated=fully,
        deterioration_told=bool(declared.deteriorated),
        soil_modulus=declared.soil_modulus or 0.0,
        traffic=declared.traffic or 0.0,
        wheel_load=declared.wheel_load,
        wheels_beside=declared.wheels_beside,
        head_least=heads.least,
        water=heads.trace,
        branch_pipe=note.branch_pipe if note else None,
        fillings=note.fillings if note else (),
    )


def rows(inputs: Inputs) -> tuple[TraceRow, ...]:
    """Trace rows of the inputs, in checking order."""
    result = []
    for name, (quantity, symbol, unit) in LABELS.items():
        given: Given = getattr(inputs, name)
        result.append(TraceRow(quantity, symbol, given.value, unit, "", given.source, given.origin))
    lined = TraceRow(
        "lined main, inside", "D", inputs.lined_diameter, "mm", "D_h − 2 t_l", "geometry"
    )
    head = list(LABELS).index("head")
    return (*result[:2], lined, *result[2:head], *inputs.water, *result[head:])


def assumed_findings(resolved: Iterable[tuple[str, Inputs]]) -> tuple[Finding, ...]:
    """One finding for each default used, naming the connections.

    Args:
        resolved: (connection id, inputs) pairs.
    """
    users: dict[str, list[str]] = {}
    sample: dict[str, Given] = {}
    for connection_id, inputs in resolved:
        for name in LABELS:
            given: Given = getattr(inputs, name)
            if given.assumed:
                users.setdefault(name, []).append(connection_id)
                sample.setdefault(name, given)
    return tuple(_assumed(name, ids, sample[name].value) for name, ids in users.items())


def _assumed(name: str, ids: list[str], value: float) -> Finding:
    quantity, _, unit = LABELS[name]

    shown_unit = {"degC": "°C", "deg": "°"}.get(unit, unit)
    listed = ", ".join(ids[:6]) + (f" and {len(ids) - 6} more" if len(ids) > 6 else "")
    varies = " or as its kind suggests" if name == "angle" else ""
    return Finding(
        FindingKind.ASSUMED,
        f"default-{name.replace('_', '-')}",
        f"{quantity} not given: {shown(value, unit)} {shown_unit}{varies} assumed "
        f"for {len(ids)} connection{'s' if len(ids) > 1 else ''} ({listed})",
        value=f"{shown(value, unit)} {shown_unit}",
    )
