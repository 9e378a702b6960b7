"""What the page of one collar shows: limits, legends, free edges, tolerance."""

from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from teewright.collar.tolerance import NAMES
from teewright.collar.values import Collar, CollarMap, Edge, Limit, Panel, Tolerance
from teewright.kit.values import Fabric
from teewright.report import words
from teewright.report.sheets.landing import NOTES
from teewright.web.collar_map import Painted, bands_of, painted
from teewright.web.quantities import System, quantity
from teewright.web.texts import text
from teewright.web.window_bars import WindowBar, drawn


@dataclass(frozen=True, slots=True)
class Shown:
    """The collar that the page shows: the design's, or one made on trial.

    Attributes:
        collar: It.
        limits: Each limit with the value found, where it lies as shown.
        edges: Free edges, likewise.
        panels: Its pieces as cut, where the flat pieces of the map lie.
        map: It as triangles, or None where no picture was kept.
        address: Where its triangles are asked for.
        tried: Whether it was made on trial.
        off: Whether it is shown off its place.
    """

    collar: Collar
    limits: tuple[Limit, ...]
    edges: tuple[Edge, ...]
    panels: tuple[Panel, ...]
    map: CollarMap | None
    address: str
    tried: bool = False
    off: bool = False

    @property
    def kept(self) -> bool:
        """Whether every limit is kept."""
        return all(limit.kept for limit in self.limits)

    @property
    def tightest(self) -> Limit:
        """The limit with the least room."""
        return min(self.limits, key=lambda limit: limit.margin)


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity against its limit.

    Attributes:
        name: Of it.
        value: Found, with its unit.
        note: What it means.
        bar: Drawn.
    """

    name: str
    value: str
    note: str
    bar: Markup


@dataclass(frozen=True, slots=True)
class Legend:
    """The scale of one map.

    Attributes:
        key: Of the quantity.
        title: Of it.
        note: What its limits are.
        colours: Each colour with its values, drawn.
        limits: What was found against its limits, drawn; empty where the colours tell it.
    """

    key: str
    title: str
    note: str
    colours: Markup
    limits: Markup | str = ""


def figure(limit: Limit, value: float, system: System) -> str:
    """A value of a limit with its unit."""
    if limit.unit == "m":
        return quantity(value, "mm", system)
    return words.fixed(value, 3)


def limit_rows(limits: tuple[Limit, ...], system: System) -> tuple[Row, ...]:
    """Each limit as a bar."""
    return tuple(_limit_row(limit, system) for limit in limits)


def _limit_row(limit: Limit, system: System) -> Row:
    most = limit.high if limit.high is not None else limit.value
    low, reach = min(limit.rest, limit.value), most - limit.rest
    value = figure(limit, limit.value, system)
    name = words.capital(limit.name)
    bar = WindowBar(
        name=text("collar.against", name=name, value=value, limit=figure(limit, most, system)),
        ends=(low, max(most + 0.3 * reach, limit.value)),
        write=lambda v: figure(limit, v, system),
        most=limit.high,
        at=limit.value,
    )
    note = NOTES.get(limit.name, "")
    if not limit.kept:
        note = text("collar.helps", what=words.capital(limit.helps))
    return Row(name, value, words.capital(note), drawn(bar))


def legends(
    found: CollarMap, fabric: Fabric | None, needed: float | None, system: System
) -> tuple[Legend, ...]:
    """The scale of each map, with the limits of what it shows.

    Args:
        found: The formed collar.
        fabric: Its fabric, or None.
        needed: Wall that the groundwater asks for [m], or None where that is not known.
        system: Units.
    """
    made = {"stretch": _stretch, "thickness": _thickness, "wrinkle": _wrinkle}
    return tuple(made[one.key](one, fabric, needed, system) for one in painted(found, fabric))


def _legend(key: str, note: str, colours: WindowBar, limits: WindowBar | None = None) -> Legend:
    title = text(f"collar.map.{key}")
    return Legend(key, title, note, drawn(colours), "" if limits is None else drawn(limits))


def _colours(one: Painted, write: Callable[[float], str], least: float | None = None) -> WindowBar:
    """All colours of a map as wide as there is room."""
    low, high = one.scale.low / one.per, one.scale.high / one.per
    first, last = (write(v) for v in one.ends)
    quarters = tuple(low + share * (high - low) for share in (0.5, 0.25, 0.75))
    return WindowBar(
        name=text("collar.legend.found", least=first, most=last),
        ends=(low if least is None else min(low, least), high),
        write=write,
        least=least,
        spread=one.ends,
        ticks=tuple((v, write(v)) for v in quarters),
        bands=bands_of(one),
    )


def _stretch(one: Painted, fabric: Fabric | None, _: float | None, __: System) -> Legend:
    colours = _colours(one, lambda v: f"{v:.3f}")
    if fabric is None:
        return _legend("stretch", text("collar.legend.unknown"), colours)
    along, across = fabric.stretch_along, fabric.stretch_across
    most = min(along, across)
    bar = WindowBar(
        name=text("collar.legend.bears", along=f"{along:.2f}", across=f"{across:.2f}"),
        ends=(min(one.scale.low, 1.0), max(along, across, one.scale.high) + 0.03),
        write=lambda v: f"{v:.2f}",
        most=most,
        spread=one.ends,
        ticks=tuple((v, f"{v:.2f}") for v in (along, across) if v != most),
    )
    note = text("collar.legend.stretch", along=f"{along:.2f}", across=f"{across:.2f}")
    return _legend("stretch", note, colours, bar)


def _thickness(one: Painted, _: Fabric | None, needed: float | None, system: System) -> Legend:
    colours = _colours(one, lambda v: quantity(v, "mm", system, digits=2))
    if needed is None:
        return _legend("thickness", text("collar.legend.thickness_open"), colours)
    asked = quantity(needed, "mm", system, digits=2)
    least, most = one.ends
    bar = WindowBar(
        name=text("collar.legend.asked", needed=asked),
        ends=(0.0, 1.15 * max(most, needed)),
        write=lambda v: quantity(v, "mm", system),
        least=needed,
        spread=(least, most),
    )
    return _legend("thickness", text("collar.legend.thickness", needed=asked), colours, bar)


def _wrinkle(one: Painted, _: Fabric | None, __: float | None, ___: System) -> Legend:
    folds = (one.scale.hatched or 0.0) / one.per
    note = text("collar.legend.wrinkle", folds=_percent(folds))
    return _legend("wrinkle", note, _colours(one, _percent, least=folds))


def _percent(value: float) -> str:
    return words.fixed(100.0 * value, 1, "%")


def tolerance_rows(
    tolerance: Tolerance | None, main: float, system: System
) -> tuple[tuple[str, str, str], ...]:
    """(what, how much either way, what breaks beyond) of each thing that may be off."""
    if tolerance is None or tolerance.runs == 0:
        return ()
    rows = []
    for name, breaks in zip(NAMES, tolerance.breaks, strict=True):
        value = getattr(tolerance, name)
        unit = "deg" if name in {"round", "angle"} else "mm"
        much = f"± {quantity(value, unit, system)}"
        if name == "round":
            much += f", {quantity(value * main / 2.0, 'mm', system)}"
        rows.append((text(f"collar.off.{name}"), much, breaks))
    return tuple(rows)


def edge_rows(edges: tuple[Edge, ...], system: System) -> tuple[tuple[str, str, str, str], ...]:
    """(end, wanted, least, most) of each free edge."""

    def written(value: float) -> str:
        return quantity(value, "mm", system)

    return tuple(
        (
            text(f"collar.edge.{edge.name}"),
            written(edge.wanted),
            written(edge.least),
            written(edge.most),
        )
        for edge in edges
    )
