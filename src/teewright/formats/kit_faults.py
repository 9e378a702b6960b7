"""What contradicts itself in a kit file: faults that no single value shows."""

from collections import Counter
from collections.abc import Iterator, Sequence

from teewright.assess.make_ready import MakeReady
from teewright.errors import InputError
from teewright.fabric.law import poisson_bound
from teewright.formats.kit_materials import FabricTable, ResinTable, TimePoint
from teewright.formats.kit_ratio import ratio_faults
from teewright.formats.kit_schema import (
    DeratingPoint,
    KitTable,
    PackerTable,
    RatesTable,
    RulesTable,
)
from teewright.formats.toml_common import KeyPath, Source
from teewright.kit.cure import FIRM, GEL
from teewright.resin.uptake import VOID_FRACTION

LEAST_FIBRE = 500.0
"""Least density of a fibre that is taken as one [kg/m3]; the lightest in use are near 900."""
LEAST_TIGHT_MM = 1.0
"""Least tight length that is taken as one [mm], as in `teewright.wall.tightness`."""


def contradictions(table: KitTable, source: Source) -> Iterator[InputError]:
    """Faults that a single value does not show, in the order of the file.

    Args:
        table: The kit file.
        source: Its lines.
    """
    yield from fabrics_faults(table.fabrics, source)
    for key in ("resins", "packers", "crews"):
        yield from _repeated([item.name for item in getattr(table, key)], key, source)
    for i, resin in enumerate(table.resins):
        yield from _resin_faults(resin, ("resins", i), source)
    for i, packer in enumerate(table.packers):
        yield from _packer_faults(packer, ("packers", i), source)
    yield from _crew_faults(table, source)
    yield from _rate_faults(table.rates, source)
    yield from _rule_faults(table, source)


def _repeated(names: Sequence[str], key: str, source: Source) -> Iterator[InputError]:
    for i, name in enumerate(names):
        if name in names[:i]:
            yield source.fault(
                (key, i, "name"), "is there twice", value=name, allowed="a name used once"
            )


def fabrics_faults(fabrics: Sequence[FabricTable], source: Source) -> Iterator[InputError]:
    """Faults of fabrics that a single value does not show.

    Args:
        fabrics: The `[[fabrics]]` of a file.
        source: Its lines.
    """
    yield from _repeated([fabric.name for fabric in fabrics], "fabrics", source)
    for i, fabric in enumerate(fabrics):
        yield from _fabric_faults(fabric, ("fabrics", i), source)


def _fabric_faults(fabric: FabricTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    points = fabric.thickness
    if points[0].pressure_bar != 0.0:
        yield source.fault(
            (*at, "thickness", 0, "pressure_bar"), "does not start at no pressure",
            value=points[0].pressure_bar, allowed="0 in the first point",
        )  # fmt: skip
    for i in range(1, len(points)):
        before, here = points[i - 1], points[i]
        if here.pressure_bar <= before.pressure_bar:
            yield source.fault(
                (*at, "thickness", i, "pressure_bar"), "does not ascend",
                value=here.pressure_bar, allowed=f"number > {before.pressure_bar:g} bar",
            )  # fmt: skip
        if here.thickness_mm > before.thickness_mm:
            yield source.fault(
                (*at, "thickness", i, "thickness_mm"), "grows with pressure",
                value=here.thickness_mm, allowed=f"number ≤ {before.thickness_mm:g} mm",
            )  # fmt: skip

    bound = poisson_bound(fabric.stiffness_along_kn_m, fabric.stiffness_across_kn_m)
    if fabric.poisson >= bound:
        yield source.fault(
            (*at, "poisson"), "is more than a stable fabric can have with these stiffnesses",
            value=fabric.poisson, allowed=f"number < √(along / across) = {bound:.4g}",
        )  # fmt: skip
    yield from _zero_or_more(
        fabric.fibre_density_kg_m3, LEAST_FIBRE, (*at, "fibre_density_kg_m3"), source, unit="kg/m³"
    )
    yield from _void_faults(fabric, at, source)
    thin, thick = points[-1].thickness_mm, points[0].thickness_mm
    if fabric.squeezed_mm is not None and not thin <= fabric.squeezed_mm < thick:
        yield source.fault(
            (*at, "squeezed_mm"), "is not between the thicknesses measured",
            value=fabric.squeezed_mm, allowed=f"number ≥ {thin:g} and < {thick:g} mm",
        )  # fmt: skip


def _void_faults(fabric: FabricTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    """Faults of a void fraction that is carried from the pressure of its test to others."""
    pressure, points = fabric.void_pressure_bar, fabric.thickness
    if pressure is None:
        return
    if pressure > points[-1].pressure_bar:
        yield source.fault(
            (*at, "void_pressure_bar"), "is beyond the pressures of thickness",
            value=pressure, allowed=f"number ≤ {points[-1].pressure_bar:g} bar",
        )  # fmt: skip
        return
    import numpy as np  # noqa: PLC0415 -- heavy, and few kits name this pressure

    measured = np.interp(
        pressure, [p.pressure_bar for p in points], [p.thickness_mm for p in points]
    )
    # the fibre keeps its volume while the fabric is pressed, so that only voids give way
    least = VOID_FRACTION[0]
    most = 1.0 - (1.0 - least) * points[-1].thickness_mm / float(measured)
    if fabric.void_fraction <= most:
        yield source.fault(
            (*at, "void_fraction"),
            f"leaves less than {100.0 * least:.0f} % of void at {points[-1].pressure_bar:g} bar, "
            "the fabric pressed so thin",
            value=fabric.void_fraction, allowed=f"number > {most:.4g} and < 1",
        )  # fmt: skip


def _zero_or_more(
    value: float, least: float, path: KeyPath, source: Source, *, unit: str
) -> Iterator[InputError]:
    """A fault where a value is neither 0, for not known or not set, nor of a size that can be."""
    if 0.0 < value < least:
        yield source.fault(path, "is too small", value=value, allowed=f"0, or ≥ {least:g} {unit}")


def _ascending(
    points: Sequence[TimePoint] | Sequence[DeratingPoint], at: KeyPath, source: Source
) -> Iterator[InputError]:
    for i in range(1, len(points)):
        before = points[i - 1].temperature_c
        if points[i].temperature_c <= before:
            yield source.fault(
                (*at, i, "temperature_c"), "does not ascend",
                value=points[i].temperature_c, allowed=f"number > {before:g} °C",
            )  # fmt: skip


def _resin_faults(resin: ResinTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    yield from _ascending(resin.working_time, (*at, "working_time"), source)
    yield from _ascending(resin.release_time, (*at, "release_time"), source)
    working = {p.temperature_c: p.minutes for p in resin.working_time}
    for i, point in enumerate(resin.release_time):
        least = working.get(point.temperature_c, 0.0)
        if point.minutes <= least:
            yield source.fault(
                (*at, "release_time", i, "minutes"), "ends before the working time does",
                value=point.minutes, allowed=f"number > {least:g} min",
            )  # fmt: skip
    yield from _mark_faults(resin, at, source)
    yield from ratio_faults(resin, at, source)


def _mark_faults(resin: ResinTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    """Faults of the conversions at gel and at release, and of readings without a heat."""
    gel = GEL if resin.gel_conversion is None else resin.gel_conversion
    firm = FIRM if resin.firm_conversion is None else resin.firm_conversion
    if gel >= firm:
        key = "gel_conversion" if resin.firm_conversion is None else "firm_conversion"
        told = f"number < {firm:g}" if key == "gel_conversion" else f"number > {gel:g}"
        yield source.fault(
            (*at, key), "leaves nothing between the end of the working time and the release",
            value=getattr(resin, key), allowed=told,
        )  # fmt: skip
    if resin.readings is not None and resin.heat_kj_kg == 0.0:
        yield source.fault(
            (*at, "readings"), "are of no use while heat_kj_kg is not told",
            value=resin.readings, allowed="a heat of reaction > 0 kJ/kg beside them",
        )  # fmt: skip


def _packer_faults(packer: PackerTable, at: KeyPath, source: Source) -> Iterator[InputError]:
    pairs = (
        ("main_min_mm", "main_max_mm", "mm"),
        ("branch_min_mm", "branch_max_mm", "mm"),
        ("angle_min_deg", "angle_max_deg", "°"),
        ("bladder_bar", "rating_bar", "bar"),
        ("sleeve_mm", "length_mm", "mm"),
    )
    for low, high, unit in pairs:
        least, most = getattr(packer, low), getattr(packer, high)
        if most < least:
            yield source.fault(
                (*at, high), f"is less than {low}", value=most,
                allowed=f"number ≥ {least:g} {unit}",
            )  # fmt: skip
    if packer.bypass_count > 0 and packer.bypass_mm <= 0.0:
        yield source.fault(
            (*at, "bypass_mm"), "is no bore, yet bypass_count is not 0",
            value=packer.bypass_mm, allowed="number > 0 mm",
        )  # fmt: skip
    yield from _derating_faults(packer.derating, (*at, "derating"), source)


def _derating_faults(
    points: Sequence[DeratingPoint], at: KeyPath, source: Source
) -> Iterator[InputError]:
    if len(points) == 1:
        yield source.fault(
            at, "holds one point only, which tells no range of temperatures", value="1 point",
            allowed="at least 2 points, or none",
        )  # fmt: skip
    yield from _ascending(points, at, source)
    for i in range(1, len(points)):
        before = points[i - 1].share
        if points[i].share > before:
            yield source.fault(
                (*at, i, "share"), "grows with temperature",
                value=points[i].share, allowed=f"number ≤ {before:g}",
            )  # fmt: skip


def _crew_faults(table: KitTable, source: Source) -> Iterator[InputError]:
    owned = {p.name: p.count for p in table.packers}
    used: Counter[str] = Counter()
    for i, crew in enumerate(table.crews):
        for j, name in enumerate(crew.packers):
            used[name] += 1
            at = ("crews", i, "packers", j)
            if name not in owned:
                yield source.fault(
                    at, "is not a packer of this kit", value=name, allowed=", ".join(owned)
                )
            elif used[name] > owned[name]:
                yield source.fault(
                    at, "is on more vans than there are of it", value=name,
                    allowed=f"{owned[name]} in all, its count",
                )  # fmt: skip


def _rate_faults(rates: RatesTable, source: Source) -> Iterator[InputError]:
    kinds = ", ".join(kind.value for kind in MakeReady)
    for key, price in rates.make_ready.items():
        if key not in set(MakeReady):
            yield source.fault(
                ("rates", "make_ready", key), "is not the price of a kind of make-ready work",
                value=price, allowed=kinds,
            )  # fmt: skip
    for kind in MakeReady:
        if kind.value not in rates.make_ready:
            yield source.fault(
                ("rates", "make_ready"), f"has no price for {kind.value}",
                value=", ".join(rates.make_ready), allowed=f"all of {kinds}",
            )  # fmt: skip


def _tight_faults(rules: RulesTable, source: Source) -> Iterator[InputError]:
    for key in ("tight_length_main_mm", "tight_length_branch_mm"):
        length = getattr(rules, key)
        yield from _zero_or_more(length, LEAST_TIGHT_MM, ("rules", key), source, unit="mm")
        if length > 0.0 and not rules.tight_evidence.strip():
            yield source.fault(
                ("rules", key), "rests on nothing: tight_evidence is empty", value=length,
                allowed="0, or a length with its evidence in words",
            )  # fmt: skip


def _rule_faults(table: KitTable, source: Source) -> Iterator[InputError]:
    rules = table.rules
    yield from _tight_faults(rules, source)
    fabrics = {f.name: f for f in table.fabrics}
    resins = [r.name for r in table.resins]
    if rules.resin not in resins:
        yield source.fault(
            ("rules", "resin"), "is not a resin of this kit", value=rules.resin,
            allowed=", ".join(resins),
        )  # fmt: skip
    if rules.fabric not in fabrics:
        yield source.fault(
            ("rules", "fabric"), "is not a fabric of this kit", value=rules.fabric,
            allowed=", ".join(fabrics),
        )  # fmt: skip
        return
    fabric = fabrics[rules.fabric]
    most = min(fabric.largest_stretch_along, fabric.largest_stretch_across)
    if rules.stretch > most:
        yield source.fault(
            ("rules", "stretch"), f"is more than {fabric.name} stands", value=rules.stretch,
            allowed=f"number from 1 to {most:g}",
        )  # fmt: skip
    if rules.soil_saturated_kn_m3 < rules.soil_kn_m3:
        yield source.fault(
            ("rules", "soil_saturated_kn_m3"), "is less than soil_kn_m3",
            value=rules.soil_saturated_kn_m3, allowed=f"number ≥ {rules.soil_kn_m3:g} kN/m³",
        )  # fmt: skip
