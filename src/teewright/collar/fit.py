"""Whether the contractor's packers and fabric can make and place a collar."""

import math
from collections.abc import Sequence

from teewright.collar.values import Collar, Limit, Panel
from teewright.junction.values import Junction
from teewright.kit.values import Fabric, Packer

_SLACK = 1e-6


def fitting_packers(
    junction: Junction, packers: Sequence[Packer], *, collar: Collar | None = None
) -> tuple[Packer, ...]:
    """The packers that serve a junction and, where it is given, carry its collar.

    Args:
        junction: Shape.
        packers: Packers to choose from.
        collar: Collar drawn for the junction.

    Returns:
        In the given order.
    """
    return tuple(p for p in packers if not packer_shortfalls(junction, p, collar=collar))


def packer_shortfalls(
    junction: Junction, packer: Packer, *, collar: Collar | None = None
) -> tuple[str, ...]:
    """What keeps a packer from serving a junction and its collar.

    Args:
        junction: Shape.
        packer: Packer.
        collar: Collar drawn for the junction, or None to look at the junction only.

    Returns:
        Parts of a sentence after the packer's name, each with both numbers; empty if it fits.
    """
    main, branch = junction.main_diameter, junction.branch_diameter
    found = [
        _outside("mains", main, packer.main_min, packer.main_max),
        _outside("branches", branch, packer.branch_min, packer.branch_max),
        _angle_outside(junction.angle, packer),
    ]
    if collar is not None:
        reach = collar.reach
        found.append(_short("along the main", packer.sleeve_length, collar.sleeve_length))
        found.append(_short("up the branch from the crown", packer.branch_reach, reach))
    return tuple(text for text in found if text)


def refusals(
    junction: Junction,
    packers: Sequence[Packer] | Packer,
    fabric: Fabric,
    collar: Collar | None = None,
) -> tuple[str, ...]:
    """Why no collar can be made or placed, each reason with its numbers and what would help.

    Args:
        junction: Shape.
        packers: One packer or all of them; one that fits is enough.
        fabric: Fabric of the collar.
        collar: Collar drawn for the junction, or None to look at the packers only.

    Returns:
        Plain sentences; empty if nothing stands against it.
    """
    several = (packers,) if isinstance(packers, Packer) else tuple(packers)
    reasons = [_no_packer(junction, several, collar)]
    if collar is not None:
        reasons += [_broken(limit) for limit in collar.landing.limits if not limit.kept]
        reasons += [_too_wide(panel, fabric) for panel in collar.panels]
    return tuple(reason for reason in reasons if reason)


def _outside(things: str, value: float, low: float, high: float) -> str:
    if low - _SLACK <= value <= high + _SLACK:
        return ""
    span = f"{1e3 * low:.0f} to {1e3 * high:.0f} mm"
    return f"serves {things} of {span}, this one is {1e3 * value:.0f} mm"


def _angle_outside(angle: float, packer: Packer) -> str:
    if packer.angle_min - _SLACK <= angle <= packer.angle_max + _SLACK:
        return ""
    low, high = math.degrees(packer.angle_min), math.degrees(packer.angle_max)
    return f"serves angles of {low:.0f} to {high:.0f}°, this one is {math.degrees(angle):.0f}°"


def _short(where: str, carried: float, needed: float) -> str:
    if needed <= carried + _SLACK:
        return ""
    return f"carries {1e3 * carried:.0f} mm {where}, the collar is {1e3 * needed:.0f} mm"


def _no_packer(junction: Junction, packers: Sequence[Packer], collar: Collar | None) -> str:
    shortfalls = [(p.name, packer_shortfalls(junction, p, collar=collar)) for p in packers]
    if any(not texts for _, texts in shortfalls):
        return ""
    wanted = (
        f"one for a main of {1e3 * junction.main_diameter:.0f} mm, a branch of "
        f"{1e3 * junction.branch_diameter:.0f} mm and {math.degrees(junction.angle):.0f}°"
    )
    if collar is not None:
        wanted += (
            f" that carries {1e3 * collar.sleeve_length:.0f} mm along the main and "
            f"{1e3 * collar.reach:.0f} mm up the branch"
        )
    if not shortfalls:
        return f"The kit holds no packer; {wanted} would help."
    fewest = min(len(texts) for _, texts in shortfalls)
    nearest = [(name, texts) for name, texts in shortfalls if len(texts) == fewest]
    each = "; ".join(f"{name} {', '.join(texts)}" for name, texts in nearest)
    return f"None of {len(shortfalls)} packers fits: {each}; {wanted} would help."


def _broken(limit: Limit) -> str:
    value, allowed = (_figure(number, limit.unit) for number in (limit.value, limit.high))
    return (
        f"Formed, the {limit.name} is {value}, at most {allowed} is allowed; {limit.helps} "
        "would help."
    )


def _figure(number: float | None, unit: str) -> str:
    if number is None:
        return "-"
    return f"{1e3 * number:.1f} mm" if unit == "m" else f"{number:.3f}"


def _too_wide(panel: Panel, fabric: Fabric) -> str:
    across = [x for x, _ in panel.cut]
    width = max(across) - min(across)
    if width <= fabric.roll_width + _SLACK:
        return ""
    return (
        f"The {panel.name} panel is {1e3 * width:.0f} mm across the grain, the roll of "
        f"{fabric.name} is {1e3 * fabric.roll_width:.0f} mm wide; a wider roll would help."
    )
