"""Length of sound bond that keeps water out, along the main and up the branch.

No standard fixes how long a collar must seal. The length needed is therefore an input, and it
is worth what it rests on: a trial, a client's rule, an approval. That must be told.
"""

from dataclasses import dataclass

from teewright.errors import InputError
from teewright.numerics.limits import within
from teewright.trace import Origin, TraceRow
from teewright.wall.answers import TightCheck
from teewright.wall.values import REVIEW

LENGTH = (1e-3, 5.0)
"""Lengths of seal [m]."""
HEAD = (0.0, 50.0)
"""Heads of groundwater [m]."""
LAW = "the check of the tight length"


@dataclass(frozen=True, slots=True, kw_only=True)
class TightLength:
    """One way along the collar by which water could pass.

    Attributes:
        place: E.g. `flange, upstream` or `branch`.
        provided: Length in sound contact, from the cut edge to the collar's end [m].
        needed: Length that seals [m].
        evidence: What the length needed rests on, in words; not empty.
    """

    place: str
    provided: float
    needed: float
    evidence: str


def tight_check(lengths: tuple[TightLength, ...], head: float) -> TightCheck:
    """Hold the lengths that seal against those that are needed.

    Args:
        lengths: Each way along the collar, at least one.
        head: Groundwater that drives the leak; 0 or less is none [m].

    Returns:
        The check; the head over the length, a gradient, is told and not judged.

    Raises:
        InputError: No length, or one without evidence.
        RangeError: A length outside 1 mm to 5 m, or a head above 50 m.
    """
    if not lengths:
        raise InputError("names no place", field="lengths", allowed="at least one length of seal")
    for length in lengths:
        _accept(length)
    water = within(max(head, 0.0), HEAD, quantity="groundwater", unit="m", law=LAW)
    worst = max(lengths, key=_used)
    short = [length for length in lengths if _used(length) > 1.0]
    notes = [
        f"The seal along the {length.place} of {length.provided * 1e3:.0f} mm is shorter than the "
        f"{length.needed * 1e3:.0f} mm needed."
        for length in short
    ]
    rests = "; ".join(f"{length.place}: {length.evidence.strip()}" for length in lengths)
    notes += [
        f"No standard fixes the tight length; what is needed rests on: {rests}.",
        f"Tight length: {REVIEW}.",
    ]
    rows = tuple(row for length in lengths for row in _rows(length, water))
    return TightCheck(_used(worst), worst.place, tuple(notes), rows)


def _accept(length: TightLength) -> None:
    if not length.evidence.strip():
        raise InputError(
            "has no evidence",
            field=f"tight length, {length.place}",
            value=length.needed,
            allowed="a trial, a client's rule or an approval, in words",
        )
    for quantity, value in (("length of seal", length.provided), ("tight length", length.needed)):
        within(value, LENGTH, quantity=quantity, unit="m", law=LAW)


def _used(length: TightLength) -> float:
    return length.needed / length.provided


def _rows(length: TightLength, water: float) -> tuple[TraceRow, ...]:
    place, gradient = length.place, water / length.provided
    return (
        TraceRow(f"{place}: seal", "L_t", length.provided, "mm", "", "collar", Origin.INPUT),
        TraceRow(
            f"{place}: tight length needed",
            "L_n",
            length.needed,
            "mm",
            "",
            length.evidence.strip(),
            Origin.INPUT,
        ),
        TraceRow(f"{place}: utilisation of the seal", "η", _used(length), "%", "L_n / L_t"),
        TraceRow(f"{place}: head over length, not judged", "i", gradient, "-", "max(h, 0) / L_t"),
    )
