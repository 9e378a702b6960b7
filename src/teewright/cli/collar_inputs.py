"""From the options of `teewright collar` to an order: checked, with everything assumed said."""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from teewright import demo
from teewright.bench.inputs import Document, kit_documents
from teewright.collar.fit import fitting_packers
from teewright.collar.layout_lines import LAYOUTS
from teewright.collar.making import check
from teewright.collar.order import Effort, Order
from teewright.errors import InputError, UnknownNameError
from teewright.formats.kit_toml import read_kit
from teewright.junction.check import (
    ANGLE_RANGE,
    BRANCH_RANGE,
    MAIN_RANGE,
    OVALITY_MOST,
    check_junction,
)
from teewright.junction.values import Junction
from teewright.kit.values import Fabric, Kit
from teewright.report.tile_grid import PAPERS
from teewright.resin.amount import void_fraction_at
from teewright.resin.uptake import stretched_thickness, thickness_at
from teewright.units import BAR, MM

PRESSURE_BAR = 0.5
"""On the fabric, where none is given; common practice, no source."""
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,23}")


@dataclass(frozen=True, slots=True)
class Wish:
    """What was asked for on the command line, in its units; None where it was left out.

    Attributes:
        main_mm: Mean inner diameter of the lined main.
        branch_mm: Inner diameter of the branch.
        angle_deg: Between the axes.
        fillet_mm: Radius of the rounded edge.
        offset_mm: Of the branch's axis from the main's.
        ovality_percent: Of the main.
        short_axis_deg: From the crown towards +y to the main's least diameter.
        kit: Kit file.
        fabric: Name.
        stretch: Design stretch.
        sleeve_mm: Length along the main.
        branch_length_mm: Length up the branch.
        lap_mm: Overlap of each closing seam.
        pressure_bar: On the fabric.
        layout: Name.
        name: Of the pattern and its files.
        paper: Of the tiled pattern.
        quick: Whether the placement tolerance is left out.
        fineness: Edge length of the mesh over the usual one.
    """

    main_mm: float
    branch_mm: float
    angle_deg: float
    fillet_mm: float
    offset_mm: float | None = None
    ovality_percent: float | None = None
    short_axis_deg: float | None = None
    kit: Path | None = None
    fabric: str | None = None
    stretch: float | None = None
    sleeve_mm: float | None = None
    branch_length_mm: float | None = None
    lap_mm: float | None = None
    pressure_bar: float | None = None
    layout: str | None = None
    name: str | None = None
    paper: str = "A4"
    quick: bool = False
    fineness: float = 1.0


@dataclass(frozen=True, slots=True)
class Asked:
    """An order with all that was taken for it.

    Attributes:
        order: The order.
        effort: How finely it is computed.
        kit: The kit.
        own_kit: Whether the kit is the user's.
        assumed: What was not given, one sentence each.
    """

    order: Order
    effort: Effort
    kit: Kit
    own_kit: bool
    assumed: tuple[str, ...]


def asked(wish: Wish) -> Asked:
    """The order that a wish means.

    Raises:
        InputError: A number or a name is not allowed; the sentence names option, value and range.
        GeometryError: Numbers that are allowed one by one make no junction together.
        RangeError: The law of the fabric does not hold at this pressure.
    """
    _check_ranges(wish)
    _check_paper(wish.paper)
    kit, findings = _kit(wish)
    fabric = _fabric(wish, kit)
    pressure = BAR * _given(wish.pressure_bar, PRESSURE_BAR)
    _check_pressure(fabric, pressure)
    stretch = _stretch(wish, kit, fabric)
    junction = _junction(wish)
    check_junction(junction)
    sleeve, packer = _sleeve(wish, junction, kit)
    pressed = thickness_at(fabric, pressure)
    order = Order(
        pattern=_name(wish),
        junction=junction,
        fabric=fabric,
        pressure=pressure,
        thickness=stretched_thickness(pressed, stretch),
        stretch=stretch,
        void_fraction=void_fraction_at(fabric, pressed),
        sleeve_length=sleeve,
        branch_length=_length(wish.branch_length_mm, kit.rules.branch_length),
        lap=_length(wish.lap_mm, kit.rules.lap),
        layout=_layout(wish),
    )
    check(order)
    effort = Effort(fineness=wish.fineness, tolerance=not wish.quick)
    assumed = (*_assumed(wish, kit, order, packer), *findings)
    return Asked(order, effort, kit, wish.kit is not None, assumed)


def _given(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def _length(value_mm: float | None, otherwise: float) -> float:
    return otherwise if value_mm is None else value_mm * MM


def _ranges(wish: Wish) -> Iterator[tuple[str, float | None, float, float, str]]:
    """Option, value, least, most, unit."""
    yield "--main", wish.main_mm, MAIN_RANGE[0] / MM, MAIN_RANGE[1] / MM, "mm"
    yield "--branch", wish.branch_mm, BRANCH_RANGE[0] / MM, BRANCH_RANGE[1] / MM, "mm"
    low, high = (math.degrees(angle) for angle in ANGLE_RANGE)
    yield "--angle", wish.angle_deg, low, high, "degrees"
    yield "--fillet", wish.fillet_mm, 0.0, 50.0, "mm"
    yield "--offset", wish.offset_mm, -500.0, 500.0, "mm"
    yield "--ovality", wish.ovality_percent, 0.0, 100.0 * OVALITY_MOST, "%"
    yield "--short-axis", wish.short_axis_deg, -180.0, 180.0, "degrees"
    yield "--sleeve", wish.sleeve_mm, 100.0, 3000.0, "mm"
    yield "--branch-length", wish.branch_length_mm, 20.0, 1000.0, "mm"
    yield "--lap", wish.lap_mm, 0.0, 200.0, "mm"
    yield "--fineness", wish.fineness, 0.5, 4.0, ""


def _check_ranges(wish: Wish) -> None:
    for option, value, low, high, unit in _ranges(wish):
        if value is not None and not low * (1.0 - 1e-9) <= value <= high * (1.0 + 1e-9):
            allowed = f"{low:g} to {high:g} {unit}".rstrip()
            raise InputError("is out of range", field=option, value=value, allowed=allowed)


def _check_paper(name: str) -> None:
    if name.casefold() not in {paper.casefold() for paper in PAPERS}:
        raise InputError(
            "is not a paper for tiles", field="--paper", value=name, allowed=", ".join(PAPERS)
        )


def _kit(wish: Wish) -> tuple[Kit, tuple[str, ...]]:
    """The kit, and what is odd about it."""
    plain = (Document("plain kit", demo.plain_kit()), ())
    given, beside = kit_documents(wish.kit) if wish.kit else plain
    kit, findings = read_kit(given.data, file=given.name, beside={d.name: d.data for d in beside})
    odd = (finding for finding in findings if finding.rule != "kit-invented")  # said elsewhere
    return kit, tuple(f"{given.name}: {finding.text}" for finding in odd)


def _fabric(wish: Wish, kit: Kit) -> Fabric:
    if wish.fabric is None:
        return kit.fabric
    fabrics = {fabric.name: fabric for fabric in kit.fabrics}
    if wish.fabric not in fabrics:
        raise UnknownNameError(
            "is not a fabric of this kit", field="--fabric", value=wish.fabric,
            allowed=", ".join(fabrics),
        )  # fmt: skip
    return fabrics[wish.fabric]


def _check_pressure(fabric: Fabric, pressure: float) -> None:
    most = fabric.thickness[-1][0]
    if not 0.01 * BAR <= pressure <= most * (1.0 + 1e-9):
        raise InputError(
            f"is outside the thickness table of {fabric.name}",
            field="--pressure",
            value=pressure / BAR,
            allowed=f"0.01 to {most / BAR:g} bar",
        )


def _stretch(wish: Wish, kit: Kit, fabric: Fabric) -> float:
    most = min(fabric.stretch_along, fabric.stretch_across)
    stretch = _given(wish.stretch, kit.rules.stretch)
    if not 1.0 <= stretch <= most:
        raise InputError(
            f"is not what {fabric.name} stands", field="--stretch", value=stretch,
            allowed=f"1 to {most:g}, formed over cut",
        )  # fmt: skip
    return stretch


def _junction(wish: Wish) -> Junction:
    return Junction(
        main_diameter=wish.main_mm * MM,
        branch_diameter=wish.branch_mm * MM,
        angle=math.radians(wish.angle_deg),
        fillet=wish.fillet_mm * MM,
        offset=_given(wish.offset_mm, 0.0) * MM,
        ovality=_given(wish.ovality_percent, 0.0) / 100.0,
        short_axis=math.radians(_given(wish.short_axis_deg, 0.0)),
    )


def _sleeve(wish: Wish, junction: Junction, kit: Kit) -> tuple[float, str]:
    """Length of the sleeve, and the packer that it is taken from, if any."""
    if wish.sleeve_mm is not None:
        return wish.sleeve_mm * MM, ""
    fitting = fitting_packers(junction, kit.packers)
    if not fitting:
        raise InputError(
            "--sleeve is missing, and no packer of the kit serves this junction",
            allowed="length of the collar along the main, in mm",
        )
    return fitting[0].sleeve_length, fitting[0].name


def _name(wish: Wish) -> str:
    sizes = (wish.main_mm, wish.branch_mm, wish.angle_deg)
    plain = "T" + "-".join(f"{size:g}".replace(".", "_") for size in sizes)
    name = plain if wish.name is None else wish.name
    if not _NAME.fullmatch(name):
        raise InputError(
            "is no name for files", field="--name", value=name,
            allowed="1 to 24 letters, digits, - and _",
        )  # fmt: skip
    return name


def _layout(wish: Wish) -> str:
    if wish.layout is not None and wish.layout not in LAYOUTS:
        raise UnknownNameError(
            "is not a layout", field="--layout", value=wish.layout, allowed=", ".join(LAYOUTS)
        )
    return wish.layout or ""


def _assumed(wish: Wish, kit: Kit, order: Order, packer: str) -> Iterator[str]:
    """What was not given."""
    if kit.invented:
        yield (
            f"{kit.title}: its figures are invented; measure your fabric and give your own kit "
            "with --kit"
        )
    if wish.fabric is None:
        yield f"fabric: {order.fabric.name}, the one that the kit's rules name"
    if wish.pressure_bar is None:
        yield (
            f"pressure on the fabric: {PRESSURE_BAR:g} bar (common practice, no source); what "
            "groundwater, bladder and packer leave for it is not checked here"
        )
    if wish.stretch is None:
        yield f"design stretch: {order.stretch:.3f}, by the kit's rules"
    if packer:
        yield f"sleeve: {order.sleeve_length / MM:.0f} mm, what {packer} of the kit carries"
    if wish.branch_length_mm is None:
        yield f"branch length: {order.branch_length / MM:.0f} mm, by the kit's rules"
    if wish.lap_mm is None:
        yield f"lap: {order.lap / MM:.0f} mm, by the kit's rules"
    if wish.offset_mm is None and wish.ovality_percent is None:
        yield "the branch's axis meets the main's, and the main is round"
    if order.fabric.stiffness_shear <= 0.0:
        yield f"stiffness of {order.fabric.name} in shear: estimated, it was not measured"
