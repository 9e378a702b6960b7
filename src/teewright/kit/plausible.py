"""What is odd in a kit though allowed: one finding each."""

from collections.abc import Callable, Iterator
from itertools import pairwise

from teewright.findings import Finding, FindingKind, Place
from teewright.kit.values import Kit, Packer, Resin
from teewright.units import BAR, celsius

DENSITY_DOUBT = 0.05
"""Share by which the density of a mix may differ from that of its parts [-]."""

Rule = Callable[[Kit], Iterator[tuple[FindingKind, str, str, str]]]
"""A kit to (kind, rule, text, value) of each oddity."""


def mixed_density(resin: Resin) -> float:
    """Density of the mix from its parts, volumes added [kg/m3].

    rho = (1 + r) / (1/rho_A + r/rho_B), r the mass of part B per mass of part A.
    """
    r = resin.ratio_mass
    return (1.0 + r) / (1.0 / resin.density_a + r / resin.density_b)


def doubts(kit: Kit, *, file: str = "") -> tuple[Finding, ...]:
    """Findings on a kit, in the order of its tables.

    Args:
        kit: The kit.
        file: Name of its file.
    """
    return tuple(
        Finding(kind, rule, text, Place(file), value)
        for check in CHECKS
        for kind, rule, text, value in check(kit)
    )


def _invented(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    if kit.invented:
        text = f"the figures of the kit {kit.title} are invented; every sheet says so"
        yield FindingKind.NOTE, "kit-invented", text, kit.title


def _sources(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    sources = [(f.name, f.source) for f in kit.fabrics] + [(r.name, r.source) for r in kit.resins]
    for name, source in sources:
        if not source.strip():
            text = f"no source is given for the figures of {name}"
            yield FindingKind.DOUBT, "kit-source", text, name


def _densities(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    for resin in kit.resins:
        parts = mixed_density(resin)
        if abs(parts / resin.density - 1.0) > DENSITY_DOUBT:
            text = (
                f"the density of {resin.name} is given as {resin.density:.0f} kg/m3, its parts "
                f"make {parts:.0f}; the given one is used"
            )
            yield FindingKind.DOUBT, "kit-density", text, f"{resin.density:.0f}"


def _times(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    for resin in kit.resins:
        for name, points in (("working", resin.working_time), ("release", resin.release_time)):
            for (_, before), (temperature, time) in pairwise(points):
                if time > before:
                    text = (
                        f"the {name} time of {resin.name} grows towards "
                        f"{celsius(temperature):.0f} °C; a warmer resin sets sooner as a rule"
                    )
                    yield FindingKind.DOUBT, "kit-times", text, f"{time / 60.0:g} min"


def _spare_packers(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    carried = [name for crew in kit.crews for name in crew.packers]
    for packer in kit.packers:
        spare = packer.count - carried.count(packer.name)
        if spare:
            text = f"{spare} of {packer.count} {packer.name} is on no van and is not planned with"
            yield FindingKind.NOTE, "kit-spare-packer", text, packer.name


def _fabric_range(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    last = kit.fabric.thickness[-1][0]
    beyond = [p.name for p in kit.packers if p.rating > last]
    if beyond:
        text = (
            f"the thickness of {kit.fabric.name} is known to {last / BAR:g} bar only, "
            f"less than the rating of {', '.join(beyond)}; pressures above it are refused"
        )
        yield FindingKind.DOUBT, "kit-fabric-range", text, f"{last / BAR:g} bar"


def _branch_reach(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    def short(packer: Packer) -> bool:
        return packer.branch_reach < kit.rules.branch_length

    names = [p.name for p in kit.packers if short(p)]
    if names:
        text = (
            f"{', '.join(names)} carries less collar up the branch than the rules ask for, "
            f"{kit.rules.branch_length * 1e3:.0f} mm, and fits no connection"
        )
        yield FindingKind.DOUBT, "kit-branch-reach", text, ", ".join(names)


def _tight_branch(kit: Kit) -> Iterator[tuple[FindingKind, str, str, str]]:
    rules = kit.rules
    if rules.tight_length_branch > rules.branch_length:
        text = (
            f"the rules want {rules.tight_length_branch * 1e3:.0f} mm tight along the branch, more "
            f"than the {rules.branch_length * 1e3:.0f} mm that a collar goes up it at the least"
        )
        value = f"{rules.tight_length_branch * 1e3:.0f} mm"
        yield FindingKind.DOUBT, "kit-tight-length", text, value


CHECKS: tuple[Rule, ...] = (
    _invented,
    _sources,
    _densities,
    _times,
    _spare_packers,
    _fabric_range,
    _branch_reach,
    _tight_branch,
)
