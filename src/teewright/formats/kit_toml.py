"""The kit file: what the contractor owns and buys, TOML to values in SI units.

`docs/kit.md` lists the keys.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from teewright.assess.make_ready import MakeReady
from teewright.findings import Finding
from teewright.formats.kit_faults import contradictions, fabrics_faults
from teewright.formats.kit_materials import FabricsTable, FabricTable, ResinTable, TimePoint
from teewright.formats.kit_ratio import mass_ratio, volume_ratio
from teewright.formats.kit_readings import with_readings
from teewright.formats.kit_schema import KitTable, PackerTable, RatesTable, RulesTable, ShiftsTable
from teewright.formats.toml_common import read_model
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
KJ = 1e3


def read_kit(
    data: bytes, *, file: str, beside: Mapping[str, bytes] | None = None
) -> tuple[Kit, tuple[Finding, ...]]:
    """Read a kit file.

    Args:
        data: The file.
        file: Name of the file, for messages.
        beside: Bytes of the files that it names, see `kit_readings`.

    Returns:
        (kit, findings on what is odd but allowed).

    Raises:
        FileFormatError: The bytes are not TOML in UTF-8.
        InputError: A value is missing, unknown, out of range, or contradicts another one.
    """
    table, source = read_model(data, KitTable, file=file)
    for fault in contradictions(table, source):
        raise fault
    kit = _kit(table)
    resins, found = with_readings(kit.resins, table.resins, source, beside or {})
    kit = replace(kit, resins=resins)
    return kit, (*doubts(kit, file=file), *found)


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
    for fault in fabrics_faults(table.fabrics, source):
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
        fibre_density=t.fibre_density_kg_m3,
        void_pressure=None if t.void_pressure_bar is None else t.void_pressure_bar * BAR,
        squeezed=None if t.squeezed_mm is None else t.squeezed_mm * MM,
    )


def _times(points: Sequence[TimePoint]) -> tuple[tuple[float, float], ...]:
    return tuple((kelvin(p.temperature_c), p.minutes * MINUTE) for p in points)


def _resin(t: ResinTable) -> Resin:
    return Resin(
        name=t.name,
        density_a=t.density_a_kg_m3,
        density_b=t.density_b_kg_m3,
        density=t.density_kg_m3,
        ratio_mass=mass_ratio(t),
        pack_mass=t.pack_mass_kg,
        working_time=_times(t.working_time),
        release_time=_times(t.release_time),
        modulus=t.modulus_gpa * GPA,
        strength=t.strength_mpa * MPA,
        long_term=t.long_term,
        hazards=tuple(t.hazards),
        price=t.price_per_kg,
        source=t.source,
        heat=t.heat_kj_kg * KJ,
        time_spread=t.time_spread,
        gel=t.gel_conversion,
        firm=t.firm_conversion,
        sheet_mass=t.sheet_mass_kg,
        ratio_volume=volume_ratio(t),
        by_volume=t.parts_b_per_100_a is None,
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
        derating=tuple((kelvin(p.temperature_c), p.share) for p in t.derating),
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
        water=t.water_per_m3,
        discount=t.discount,
        life=t.life_years,
        entry_left=t.entry_left,
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
        tight_length_main=t.tight_length_main_mm * MM,
        tight_length_branch=t.tight_length_branch_mm * MM,
        tight_evidence=t.tight_evidence,
        release_chance=t.release_chance,
        freeboard=t.freeboard_mm * MM,
        liner_temperature=None if t.liner_temperature_c is None else kelvin(t.liner_temperature_c),
        friction=t.friction_bar * BAR,
    )
