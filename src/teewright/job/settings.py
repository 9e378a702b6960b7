"""Resin, times, wall and bypass of one collar."""

from dataclasses import dataclass

from teewright.collar.made import Made
from teewright.heat.values import Forecast
from teewright.hydraulics.bypass import Beyond, bypass_check
from teewright.hydraulics.inflow import shower_by_hour
from teewright.hydraulics.values import BypassCheck
from teewright.job.amounts import resin_of
from teewright.job.cure_findings import liner_review
from teewright.job.curing import cured, in_place, sheet_times
from teewright.job.day_air import day_air
from teewright.job.flow_setting import shower_of
from teewright.job.resolve import Inputs
from teewright.job.walls import Walls, walls_of
from teewright.kit.values import Kit, Packer
from teewright.network.conditions import Site
from teewright.resin.amount import void_fraction_at
from teewright.resin.amount_values import Filling, ResinAmount
from teewright.resin.values import CureTimes
from teewright.units import MM


@dataclass(frozen=True, slots=True)
class Settings:
    """What is mixed, waited for and checked.

    Attributes:
        resin: What is mixed.
        cure: Times.
        walls: In main and branch, what moves it, and whether it seals.
        bypass: Flow past the packer.
        forecast: Cure on the day, or None.
        review: What a qualified engineer must look at.
    """

    resin: ResinAmount
    cure: CureTimes
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
    walls = walls_of(inputs, kit, made.collar, thickness=thickness)
    bypass = bypass_check(
        main_diameter=inputs.lined_diameter,
        bore_count=packer.bypass_count,
        bore_diameter=packer.bypass_diameter,
        bore_length=packer.length,
        mean_flow=inputs.mean_flow.value,
        pattern=site.flow_pattern,
        beyond=Beyond(site.infiltration, shower_by_hour(shower_of(site)), inputs.over_pumping),
    )
    resin = resin_of(
        made,
        kit.fabric,
        kit.resin,
        soaked=soaked,
        loss=kit.rules.loss,
        fillings=tuple(Filling(f.what, f.volume, f.source) for f in inputs.fillings),
    )
    air = day_air(inputs, site, kit.shifts)
    sheet = sheet_times(inputs, kit, air)
    # as declared to the last digit where no pressure is told, so that equal cures are one
    void = void_fraction_at(kit.fabric, soaked)
    cure, found = cured(kit, sheet, in_place(inputs, thickness, void), air)
    review = (*_review(inputs, walls), *liner_review(found, kit.rules.liner_temperature))
    return Settings(resin, cure, walls, bypass, found, review)


def _review(inputs: Inputs, walls: Walls) -> tuple[str, ...]:
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
    pipe = inputs.branch_pipe
    if pipe is not None and pipe.cracked and pipe.pressure is None:
        found.append(
            "The branch pipe is declared as cracked: its confinement by soil and water is an "
            "assumption."
        )
    if inputs.fully_deteriorated:
        found.append(
            "The host is declared as fully deteriorated: the collar must carry soil and traffic, "
            "and what holds it while the packer presses is an assumption."
        )
    elif inputs.cracked is not False:
        found.append(
            "The host is not known to be sound: its confinement by soil and water is an assumption."
        )
    return tuple(found)
