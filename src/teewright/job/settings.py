"""Resin, times, wall and bypass of one collar."""

from dataclasses import dataclass

from teewright.collar.making import Made
from teewright.heat.values import Forecast
from teewright.hydraulics.bypass import bypass_check
from teewright.hydraulics.values import BypassCheck
from teewright.job.amounts import resin_of
from teewright.job.curing import forecast
from teewright.job.resolve import Inputs
from teewright.job.walls import Walls, walls_of
from teewright.kit.values import Kit, Packer
from teewright.network.conditions import Site
from teewright.resin.amount_values import ResinAmount
from teewright.resin.times import cure_times
from teewright.resin.values import CureTimes
from teewright.units import LITRE, MM
from teewright.wall.check import CuredWall, wall_check
from teewright.wall.values import WallCheck


@dataclass(frozen=True, slots=True)
class Settings:
    """What is mixed, waited for and checked.

    Attributes:
        resin: What is mixed.
        cure: Times.
        wall: Against groundwater, in the main.
        walls: In main and branch, what moves it, and whether it seals.
        bypass: Flow past the packer.
        forecast: Cure on the day, or None.
        review: What a qualified engineer must look at.
    """

    resin: ResinAmount
    cure: CureTimes
    wall: WallCheck
    walls: Walls
    bypass: BypassCheck
    forecast: Forecast | None
    review: tuple[str, ...]


def settings(
    inputs: Inputs,
    made: Made,
    packer: Packer,
    kit: Kit,
    site: Site,
    *,
    thickness: float,
    soaked: float,
) -> Settings:
    """Resin, times, wall and bypass.

    Args:
        inputs: Of the connection.
        made: Its collar, with the map of its thickness.
        packer: The packer used.
        kit: What the contractor has.
        site: Flow pattern and weather.
        thickness: Of the fabric in place, stretched, at the set pressure [m].
        soaked: Of the fabric as cut, under what presses it to the wall [m].

    Raises:
        RangeError: A formula does not hold here.
    """
    wall = _wall(inputs, kit, thickness)
    walls = walls_of(inputs, kit, made.collar, thickness=thickness)
    bypass = bypass_check(
        main_diameter=inputs.lined_diameter,
        bore_count=packer.bypass_count,
        bore_diameter=packer.bypass_diameter,
        bore_length=packer.length,
        mean_flow=inputs.mean_flow.value,
        pattern=site.flow_pattern,
    )
    cure = cure_times(
        kit.resin,
        mix_temperature=inputs.air.value,
        cure_temperature=inputs.pipe.value,
        spare_share=kit.shifts.spare_share,
    )
    resin = resin_of(made, kit.fabric, kit.resin, soaked=soaked, loss=kit.rules.loss)
    weather = site.weather
    pack, ground = (weather.pack, weather.ground) if weather else (None, None)
    found = forecast(
        inputs,
        kit,
        cure,
        thickness=thickness,
        mixed=inputs.air.value if pack is None else pack,
        ground=inputs.pipe.value if ground is None else ground,
    )
    return Settings(resin, cure, wall, walls, bypass, found, _review(inputs, walls, bypass))


def _wall(inputs: Inputs, kit: Kit, thickness: float) -> WallCheck:
    rules, resin = kit.rules, kit.resin
    return wall_check(
        head=inputs.head.value,
        diameter=inputs.lined_diameter,
        provided=thickness,
        wall=CuredWall(
            modulus=resin.modulus,
            strength=resin.strength,
            long_term=resin.long_term,
            poisson=rules.poisson,
        ),
        ovality=inputs.ovality.value,
        safety_factor=rules.safety_factor,
        enhancement=rules.enhancement,
    )


def _review(inputs: Inputs, walls: Walls, bypass: BypassCheck) -> tuple[str, ...]:
    found = [
        "Wall and pressure: for review by a qualified engineer under the local code.",
    ]
    worst = walls.walls.worst
    if worst.utilisation > 1.0:
        found.append(
            f"The {worst.name}'s wall of {worst.provided / MM:.2f} mm is less than the "
            f"{worst.required / MM:.2f} mm that {worst.governing} needs."
        )
    if walls.tight is not None and walls.tight.utilisation > 1.0:
        found += walls.tight.notes
    if inputs.cracked is not False:
        found.append(
            "The host is not known to be sound: its confinement by soil and water is an assumption."
        )
    if not bypass.allowed_hours:
        found.append(
            f"At no hour does the bypass of {bypass.capacity / LITRE:.1f} l/s pass the flow: "
            "over-pumping is needed."
        )
    return tuple(found)
