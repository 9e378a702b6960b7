"""How far off a collar may be placed, in words: rounded down, never up."""

import math

from teewright.collar.values import Tolerance
from teewright.job.collars import off_share
from teewright.job.values import Design
from teewright.report.sheets.sheet import Json

NOT_COMPUTED = "not computed for this pattern; place it exactly where it is designed"
NONE_FOUND = "none was found; place it exactly where it is designed"
SETTABLE_ALONG, SETTABLE_ROUND = 0.002, math.radians(1.0)
"""How closely a packer is set by hand at best [m] and [rad]; an engineer's choice."""
_CLOSE = "A packer is hardly set so closely by hand: expect a limit to break."
_WHAT = (
    ("along", "Packer along the main", "along"),
    ("round", "Packer turned about the main", "turn"),
    ("fillet", "Radius of the cut edge", "edge"),
    ("branch", "Diameter of the branch", "branch"),
    ("main", "Diameter of the main", "main"),
    ("angle", "Angle of the branch", "angle"),
)
"""Field, what may be off, and that in one word; what the crew can act on first."""
_ORDER = ("along", "round", "main", "branch", "angle", "fillet")


def found(tolerance: Tolerance | None) -> bool:
    """Whether there is an envelope to speak of."""
    return tolerance is not None and tolerance.runs > 0


def amount(name: str, value: float) -> str:
    """One tolerance in millimetres or degrees, rounded down: `±6 mm`, `±0.8 mm`, `±0.09°`.

    Args:
        name: Field of the tolerance.
        value: [m] or [rad].
    """
    turned = name in {"round", "angle"}
    size = math.degrees(value) if turned else value * 1e3
    decimals = 0 if size >= 10.0 else 1 if size >= 0.5 else 2
    cut = math.floor(size * 10**decimals + 1e-6) / 10**decimals
    text = f"{cut:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"±{text}{'°' if turned else ' mm'}"


def whole(name: str, value: float) -> str:
    """The same without decimals from 2 on: `±6 mm`, `±0.8 mm`, `±3°`."""
    per = 180.0 / math.pi if name in {"round", "angle"} else 1e3
    size = value * per
    return amount(name, math.floor(size + 1e-6) / per if size >= 2.0 else value)


def brief(tolerance: Tolerance | None) -> str:
    """All six in one line: `along ±6, edge ±2, branch ±2, main ±3 mm; turn ±3°, angle ±2°`."""
    if tolerance is None:
        return NOT_COMPUTED
    if not found(tolerance):
        return NONE_FOUND
    said = {name: f"{word} {whole(name, getattr(tolerance, name))}" for name, _, word in _WHAT}
    turned = ", ".join(said.pop(name) for name in ("round", "angle"))
    return f"{', '.join(text.removesuffix(' mm') for text in said.values())} mm; {turned}"


def crew(tolerance: Tolerance | None) -> str:
    """What the crew can act on: `along ±6 mm, turn ±3°, edge ±2 mm`."""
    if tolerance is None or not found(tolerance):
        return "place it exactly"
    chief = _WHAT[:3]
    return ", ".join(f"{word} {whole(name, getattr(tolerance, name))}" for name, _, word in chief)


def rows(tolerance: Tolerance | None, main_diameter: float) -> list[Json]:
    """A row for each of the six: what, how much either way, what breaks first beyond.

    Args:
        tolerance: Of the pattern.
        main_diameter: For the way on the wall that a turn is [m].
    """
    if tolerance is None or not found(tolerance):
        return []
    breaks = dict(zip(_ORDER, tolerance.breaks, strict=True))
    out: list[Json] = []
    for name, what, _ in _WHAT:
        value = getattr(tolerance, name)
        text = amount(name, value)
        if name == "round":
            text += f", {amount('along', value * main_diameter / 2.0)[1:]} on the wall"
        out.append([what, text, breaks[name] or "nothing, as far as was tried"])
    return out


_MODEL = (
    "This holds for the computed collar. Several at their ends at once may break a limit: keep "
    "well inside."
)
"""What the share does not say."""


def told(tolerance: Tolerance | None) -> str:
    """How sure the envelope is, in sentences."""
    if tolerance is None:
        return f"The placement tolerance was {NOT_COMPUTED}."
    if not found(tolerance):
        first = tolerance.breaks[0] if tolerance.breaks else "a limit"
        return f"No tolerance was found ({first} breaks); place it exactly where it is designed."
    share = math.floor(100.0 * tolerance.share + 1e-9)
    close = tolerance.along < SETTABLE_ALONG or tolerance.round < SETTABLE_ROUND
    return (
        f"All six may be off at once. {tolerance.runs} random cases inside these bounds were "
        f"formed, and each kept every limit: at least {share} % of all cases inside keep them, "
        f"with a confidence of {100.0 * tolerance.confidence:.0f} %. {_MODEL}"
        f"{f' {_CLOSE}' if close else ''}"
    )


def used_share(design: Design) -> float:
    """Share of the pattern's tolerance that a connection's own shape uses up, 0 to inf [-]."""
    return off_share(design.collar.junction, design.junction, design.collar.tolerance)


def served(design: Design) -> str:
    """How well a pattern serves a connection: `own shape`, `62 % of the tolerance used`."""
    share = used_share(design)
    if share == 0.0:
        return "own shape"
    if not math.isfinite(share):
        return "its shape is off by an unknown share"
    return f"{math.ceil(100.0 * share - 1e-9)} % of the tolerance used"
