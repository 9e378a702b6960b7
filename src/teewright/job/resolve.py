"""What a design needs to know of one connection, with every default named."""

from collections.abc import Iterable
from dataclasses import dataclass

from teewright.findings import Finding, FindingKind
from teewright.network.conditions import Defaults, RunConditions, Site, Weather
from teewright.network.levels import connection_levels, run_conditions
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
    "mean_flow": ("mean dry-weather flow", "Q_m", "l/s"),
    "air": ("resin when mixed", "T_m", "degC"),
    "pipe": ("wall of the main", "T_p", "degC"),
}


def _given(value: float | None, source: str, default: float) -> Given:
    if value is None:
        return Given(default, Origin.ASSUMED, "default, to be confirmed on site")
    return Given(value, Origin.INPUT, source)


def _angle(connection: Connection, note_angle: float | None, defaults: Defaults) -> Given:
    known = note_angle if note_angle is not None else connection.angle
    preformed = connection.kind is ConnectionKind.JUNCTION
    return _given(known, "site", defaults.angle_junction if preformed else defaults.angle_other)


def _levels(survey: Survey, site: Site, connection: Connection, host: float) -> tuple[Given, Given]:
    levels = connection_levels(survey, site, connection)
    head = cover = None
    if levels.invert is not None and levels.groundwater is not None:
        head = levels.groundwater - levels.invert
    if levels.invert is not None and levels.ground is not None:
        cover = max(0.0, levels.ground - levels.invert - host)
    return (
        _given(head, "levels of the nodes", site.defaults.head),
        _given(cover, "levels of the nodes", site.defaults.cover),
    )


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
    head, cover = _levels(survey, site, connection, host.value)
    branch = note.diameter if note and note.diameter is not None else connection.diameter
    return Inputs(
        host_diameter=host,
        liner_thickness=lining_thickness(declared, defaults),
        branch_diameter=_given(branch, "survey or site", defaults.branch_diameter),
        angle=_angle(connection, note.angle if note else None, defaults),
        fillet=_given(note.fillet if note else None, "site", defaults.fillet),
        ovality=_given(declared.ovality, "site", defaults.ovality),
        head=head,
        cover=cover,
        mean_flow=_given(declared.mean_flow, "site", defaults.mean_flow),
        air=_given(weather.air if known_weather else None, weather.source, defaults.air),
        pipe=_given(weather.pipe if known_weather else None, weather.source, defaults.pipe),
        cracked=declared.host_cracked,
        host_thickness=declared.host_thickness,
        host_strength=declared.host_strength,
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
    return (*result[:2], lined, *result[2:])


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
