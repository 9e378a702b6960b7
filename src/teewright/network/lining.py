"""Whether a run is lined, from what its inspections and lists say."""

from collections.abc import Iterable

from teewright.findings import Finding, FindingKind, Place
from teewright.network.groups import Group
from teewright.network.values import Inspection, Observation

_NONE = frozenset({"", "0", "-", "N", "NO", "NONE", "NEIN", "KEINE", "OHNE"})


def lining_of(group: Group, run_id: str) -> tuple[bool | None, list[Finding]]:
    """Whether a run is lined, and the finding that names the evidence.

    A list counts first; then the header fields ACE and ACF; then observations that only a lined
    pipe has: BAK (defect of the lining) and BCB B (local lining of the pipe).

    Args:
        group: All that speaks of the run.
        run_id: Subject of the finding.
    """
    listed = [run for run in group.runs if run.lined is not None]
    stated = [one for one in group.inspections if _stated(one)]
    if listed:
        word = "lined" if listed[0].lined else "not lined"
        found = [_finding(FindingKind.NOTE, f"a list says {word}", listed[0].place, run_id)]
        if not listed[0].lined and stated:
            text = "a list says not lined, but an inspection states a lining: the list is followed"
            found = [_finding(FindingKind.DOUBT, text, stated[0].place, run_id)]
        if len({run.lined for run in listed}) > 1:
            other = next(run for run in listed if run.lined != listed[0].lined)
            text = f"lists do not agree whether it is lined: the first is followed, {word}"
            found.append(_finding(FindingKind.DOUBT, text, other.place, run_id))
        return listed[0].lined, found
    if stated:
        one = stated[-1]
        value = " ".join(part for part in (one.lining_type, one.lining_material) if part)
        text = f"taken as lined: the header states a lining (ACE, ACF: {value})"
        return True, [_finding(FindingKind.NOTE, text, one.place, run_id)]
    return _observed((o for one in group.inspections for o in one.observations), run_id)


def _observed(
    observations: Iterable[Observation], run_id: str
) -> tuple[bool | None, list[Finding]]:
    seen = list(observations)
    for code, char1, what in (
        ("BAK", "", "a defect of the lining is coded (BAK)"),
        ("BCB", "B", "a local lining is coded (BCB B), which need not reach every connection"),
    ):
        proof = next((o for o in seen if o.code == code and o.char1.startswith(char1)), None)
        if proof:
            text = f"taken as lined though no header states it: {what}"
            return True, [_finding(FindingKind.GUESSED, text, proof.place, run_id)]
    return None, []


def _stated(one: Inspection) -> bool:
    return any(text.strip().upper() not in _NONE for text in (one.lining_type, one.lining_material))


def _finding(kind: FindingKind, text: str, place: Place, run_id: str) -> Finding:
    return Finding(kind, "lining-evidence", text, place, subject=run_id)
