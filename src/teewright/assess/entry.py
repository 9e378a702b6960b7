"""How much groundwater a connection lets in, and which lets in most."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from teewright.assess.case import Case, cut_perimeter
from teewright.assess.values import Entry, EntryClass, GapEntry
from teewright.errors import InputError
from teewright.network.conditions import Site
from teewright.units import HOUR, LITRE, shown

GapFlow = Callable[[float, float, float, float], GapEntry]
"""(head, gap, path, perimeter) [m] -> the flow through the gap."""

ROUNDING = 1e-6
"""Of a figure that is rounded up [-]."""

CLASSES = {
    "A": EntryClass.SWEATING,
    "B": EntryClass.DRIPPING,
    "C": EntryClass.FLOWING,
    "D": EntryClass.GUSHING,
}
"""First characterisation of BBF -> class."""
NOMINAL_FLOW = {
    EntryClass.DRY: 0.0,
    EntryClass.UNKNOWN: 5e-9,
    EntryClass.SWEATING: 1e-8,
    EntryClass.DRIPPING: 1e-7,
    EntryClass.FLOWING: 1e-5,
    EntryClass.GUSHING: 1e-4,
}
"""Flow that stands for a class in the ranking [m3/s]: common practice, no source. It ranks
coded classes among computed flows and is never shown as a result."""


@dataclass(frozen=True, slots=True)
class CountedFlow:
    """The flow of an entry that may be turned into water and money.

    Attributes:
        flow: [m3/s], or None where nothing is known that may be counted.
        basis: `thin gap`, `coded class as declared` or `not known`.
        text: One plain sentence for the list.
    """

    flow: float | None
    basis: str
    text: str


def counted_flow(found: Entry, declared: Mapping[EntryClass, float]) -> CountedFlow:
    """Flow of an entry that may be counted in cubic metres.

    A computed flow counts; otherwise what the engineer has declared for the class that the
    survey codes. The flows of `NOMINAL_FLOW` rank only and are never counted.

    Args:
        found: The entry.
        declared: Flow for a class [m3/s], as the engineer takes it, e.g. from measurements in
            the same network; may be empty.

    Returns:
        The flow and what it rests on.

    Raises:
        InputError: A declared flow that is negative or no number.
    """
    for kind, flow in declared.items():
        if not 0.0 <= flow < float("inf"):
            field = f"flow declared for {kind.value}"
            raise InputError("is no flow", field=field, value=flow, allowed="0 m3/s or more")
    if found.flow is not None:
        text = f"{shown(found.flow, 'l/h')} l/h computed"
        return CountedFlow(found.flow, "thin gap", text)
    taken = declared.get(found.coded)
    if taken is None:
        text = f"{_coded_text(found.coded)}, and no flow declared for it: not counted"
        return CountedFlow(None, "not known", text)
    text = f"{_coded_text(found.coded)}, declared as {shown(taken, 'l/h')} l/h"
    return CountedFlow(taken, "coded class as declared", text)


def coded_class(case: Case) -> EntryClass:
    """Worst class that any coded inspection gives; not known where none looked at it.

    An entry coded without its class counts as dripping.
    """
    found = [CLASSES.get(d.char1, EntryClass.DRIPPING) for d in case.defects("BBF")]
    if found:
        return max(found, key=NOMINAL_FLOW.__getitem__)
    return EntryClass.DRY if case.coded else EntryClass.UNKNOWN


def entry(case: Case, site: Site, gap_flow: GapFlow) -> Entry:
    """Estimated entry at one connection.

    The thin-gap flow is computed only where head, measured gap and diameter are known; a
    gap is never assumed. The length of the leakage path is the site's `gap_path`.
    """
    coded = coded_class(case)
    gap = case.note.gap if case.note else None
    if case.head is not None and case.head <= 0.0:
        return _above_water(case.head, coded)
    if case.head is None or gap is None or case.diameter is None:
        return _as_coded(case, coded, None, f"{_unknown(case, gap)}, so no flow is computed")
    path = site.defaults.gap_path
    perimeter = cut_perimeter(case.diameter, case.angle(site)[0])
    through = gap_flow(case.head, gap, path, perimeter)
    if through.flow is None:
        return _beyond(case, coded, gap, through)
    at = "" if through.reynolds is None else f", Re {through.reynolds:.0f}"
    text = (
        f"{shown(through.flow, 'l/h')} l/h through {1e3 * gap:g} mm under {case.head:.2f} m of "
        f"water (thin gap{at}); {_coded_text(coded)}"
    )
    return Entry(through.flow, coded, "thin gap", through.reynolds, case.head, text)


def _beyond(case: Case, coded: EntryClass, gap: float, through: GapEntry) -> Entry:
    """An entry too fast for the formula: its upper bound is told and never counted."""
    at = "" if through.reynolds is None else f" at Re {through.reynolds:.0f}"
    why = f"the thin-gap formula does not hold for {1e3 * gap:g} mm{at}"
    bound = "no flow is computed"
    if through.most is not None:
        bound = f"at the most {math.ceil(through.most * HOUR / LITRE - ROUNDING)} l/h, not counted"
    found = _as_coded(case, coded, through.reynolds, f"{why}: {bound}")
    return replace(found, most=through.most)


def _unknown(case: Case, gap: float | None) -> str:
    missing = []
    if case.head is None:
        missing.append("groundwater level")
    if gap is None:
        missing.append("gap width")
    if case.diameter is None:
        missing.append("diameter")
    return f"{' and '.join(missing)} not known"


def _above_water(head: float, coded: EntryClass) -> Entry:
    if coded in {EntryClass.DRY, EntryClass.UNKNOWN}:
        return Entry(0.0, coded, "thin gap", None, head, "none: groundwater does not reach it")
    text = f"coded {coded.value}, though the groundwater declared does not reach it"
    return Entry(None, coded, "coded class", None, head, text)


def _as_coded(case: Case, coded: EntryClass, reynolds: float | None, why: str) -> Entry:
    basis = "not known" if coded is EntryClass.UNKNOWN else "coded class"
    return Entry(None, coded, basis, reynolds, case.head, f"{_coded_text(coded)}; {why}")


def _coded_text(coded: EntryClass) -> str:
    return "entry not coded" if coded is EntryClass.UNKNOWN else f"coded {coded.value}"


def ranking_flow(found: Entry) -> float:
    """Flow by which an entry ranks [m3/s].

    The greater of the computed flow and the nominal flow of the coded class: what was seen
    is the least that the highest groundwater brings.
    """
    return max(found.flow or 0.0, 0.0 if _ruled_out(found) else NOMINAL_FLOW[found.coded])


def _ruled_out(found: Entry) -> bool:
    return found.head is not None and found.head <= 0.0 and found.coded is EntryClass.UNKNOWN


def ranks(entries: Sequence[Entry]) -> tuple[int, ...]:
    """Rank of each entry, 1 for the greatest; ties in the order given."""
    order = sorted(range(len(entries)), key=lambda i: -ranking_flow(entries[i]))
    found = [0] * len(entries)
    for rank, i in enumerate(order, start=1):
        found[i] = rank
    return tuple(found)
