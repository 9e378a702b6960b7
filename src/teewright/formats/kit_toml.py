"""The kit file: what the contractor owns and buys, TOML to values in SI units.

`docs/kit.md` lists the keys.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from teewright.assess.make_ready import MakeReady
from teewright.errors import InputError
from teewright.fabric.law import poisson_bound
from teewright.findings import Finding
from teewright.formats.kit_schema import (
    FabricsTable,
    FabricTable,
    KitTable,
    PackerTable,
    RatesTable,
    ResinTable,
    RulesTable,
    ShiftsTable,
    TimePoint,
)
from teewright.formats.toml_common import KeyPath, Source, read_model
from teewright.kit.plausible import doubts
from teewright.kit.values import (
    Crew,
    DesignRules,
    Fabric,
    Kit,
    Packer,
    Rates,
    Resin,
    ShiftRules,
)
from teewright.units import BAR, HOUR, MINUTE, MM, MPA, kelvin

GPA = 1e9
KN = 1e3


def read_kit(data: bytes, *, file: str) -> tuple[Kit, tuple[Finding, ...]]:
    """Read a kit file.

    Args:
        data: The file.
        file: Name of the file, for messages.

    Returns:
        (kit, findings on what is odd but allowed).

    Raises:
        FileFormatError: The bytes are not TOML in UTF-8.
        InputError: A value is missing, unknown, out of range, or contradicts another one.
    """
    table, source = read_model(data, KitTable, file=file)
    for fault in _contradictions(table, source):
        raise fault
    kit = _kit(table)
    return kit, doubts(kit, file=file)


def read_fabrics(data: bytes, *, file: str) -> tuple[Fabric, ...]:
    """Read a file that holds the `[[fabrics]]` of a kit and nothing else.

    Args:
        data: The file.
        file: Name of the file, for messages.

    Raises:
        FileFormatError: The bytes are not TOML in UTF-8.
        InputError: A value is missing, unknown, out of range, or contradicts another one.
    """
    table, source = read_model(data, FabricsTable, file=file)
    for fault in _fabrics_faults(table.fabrics, source):
        raise fault
    return tuple(_fabric(t) for t in table.fabrics)


def _kit(table: KitTable) -> Kit:
    return Kit(
        title=table.title,
        invented=table.invented,
        fabrics=tuple(_fabric(f) for f in table.fabrics),
        resins=tuple(_resin(r) for r in table.resins),
        packers=tuple(_packer(p) for p in table.packers),
        crews=tuple(Crew(c.name, c.people, tuple(c.packers)) for c in table.crews),
        shifts=_shifts(table.shifts),
        rates=_rates(table.rates),
        rules=_rules(table.rules),
    )


def _fabric(t: FabricTable) -> Fabric:
    return Fabric(
        name=t.name,
        thickness=tuple((p.pressure_bar * BAR, p.thickness_mm * MM) for p in t.thickness),
        void_fraction=t.void_fraction,
        stiffness_along=t.stiffness_along_kn_m * KN,
        stiffness_across=t.stiffness_across_kn_m * KN,
        stretch_along=t.largest_stretch_along,
        stretch_across=t.largest_stretch_across,
        seam_allowance=t.seam_allowance_mm * MM,
        roll_width=t.roll_width_mm * MM,
        price=t.price_per_m2,
        source=t.source,
        poisson=t.poisson,
        stiffness_shear=t.stiffness_shear_kn_m * KN,
        seam_stiffness=t.seam_stiffness_kn * KN,
        seam_take=t.seam_take_mm * MM,
        friction=t.friction,
    )


def _times(points: Sequence[TimePoint]) -> tuple[tuple[float, float], ...]:
    return tuple((kelvin(p.temperature_c), p.minutes * MINUTE) for p in points)


def _resin(t: ResinTable) -> Resin:
    return Resin(
        name=t.name,
        density_a=t.density_a_kg_m3,
        density_b=t.density_b_kg_m3,
        density=t.density_kg_m3,
        ratio_mass=t.parts_b_per_100_a / 100.0,
        pack_mass=t.pack_mass_kg,
        working_time=_times(t.working_time),
        release_time=_times(t.release_time),
        modulus=t.modulus_gpa * GPA,
        strength=t.strength_mpa * MPA,
        long_term=t.long_term,
        hazards=tuple(t.hazards),
        price=t.price_per_kg,
        source=t.source,
    )


def _packer(t: PackerTable) -> Packer:
    return Packer(
        name=t.name,
        main_min=t.main_min_mm * MM,
        main_max=t.main_max_mm * MM,
        branch_min=t.branch_min_mm * MM,
        branch_max=t.branch_max_mm * MM,
        angle_min=math.radians(t.angle_min_deg),
        angle_max=math.radians(t.angle_max_deg),
        rating=t.rating_bar * BAR,
        bladder_pressure=t.bladder_bar * BAR,
        bypass_count=t.bypass_count,
        bypass_diameter=t.bypass_mm * MM,
        length=t.length_mm * MM,
        sleeve_length=t.sleeve_mm * MM,
        branch_reach=t.branch_reach_mm * MM,
        mass=t.mass_kg,
        count=t.count,
    )


def _shifts(t: ShiftsTable) -> ShiftRules:
    hours, minutes = t.start.split(":")
    return ShiftRules(
        start=int(hours) * HOUR + int(minutes) * MINUTE,
        length=t.length_h * HOUR,
        set_up=t.set_up_min * MINUTE,
        clear=t.clear_min * MINUTE,
        move=t.move_min * MINUTE,
        mix=t.mix_min * MINUTE,
        wet_out=t.wet_out_min * MINUTE,
        lower=t.lower_min * MINUTE,
        travel_speed=t.travel_m_s,
        position=t.position_min * MINUTE,
        inflate=t.inflate_min * MINUTE,
        remove=t.remove_min * MINUTE,
        test=t.test_min * MINUTE,
        spare_share=t.spare_share,
        max_collars=t.max_collars,
    )


def _rates(t: RatesTable) -> Rates:
    return Rates(
        currency=t.currency,
        collar=t.collar,
        shift=t.shift,
        test=t.test,
        close_off=t.close_off,
        look_again=t.look_again,
        make_ready=tuple((kind.value, t.make_ready[kind.value]) for kind in MakeReady),
        overhead=t.overhead,
    )


def _rules(t: RulesTable) -> DesignRules:
    return DesignRules(
        fabric=t.fabric,
        resin=t.resin,
        stretch=t.stretch,
        branch_length=t.branch_length_mm * MM,
        safety_factor=t.safety_factor,
        enhancement=t.enhancement,
        poisson=t.poisson,
        liner_pressure=t.liner_bar * BAR,
        pressure_margin=t.margin_bar * BAR,
        lap=t.lap_mm * MM,
        loss=t.loss,
        soil_weight=t.soil_kn_m3 * KN,
        soil_weight_saturated=t.soil_saturated_kn_m3 * KN,
    )


def _contradictions(table: KitTable, source: Source) -> Iterator[InputError]:
    """Faults that a single value does not show, in the order of the file."""
    yield from _fabrics_faults(table.fabrics, source)
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


def _fabrics_faults(fabrics: Sequence[FabricTable], source: Source) -> Iterator[InputError]:
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


def _ascending(points: Sequence[TimePoint], at: KeyPath, source: Source) -> Iterator[InputError]:
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


def _rule_faults(table: KitTable, source: Source) -> Iterator[InputError]:
    rules = table.rules
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
