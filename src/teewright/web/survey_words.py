"""Words and numbers of survey and needs, as their pages say them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from teewright.assess.values import Entry, Need, Verdict
from teewright.bench.inputs import Loaded
from teewright.findings import Finding, FindingKind
from teewright.network.levels import run_conditions
from teewright.network.values import Connection, Run
from teewright.report.sheets.run import CODES, MATERIALS
from teewright.units import clock_text
from teewright.web.office import Known
from teewright.web.quantities import System, quantity
from teewright.web.texts import text
from teewright.web.wording import in_units

KEYS = {
    Need.SEAL: "s", Need.MAKE_READY: "r", Need.LOOK_AGAIN: "l",
    Need.CLOSE_OFF: "c", Need.LEAVE: "v",
}  # fmt: skip
"""The key that decides each need."""
GRAVE = frozenset({FindingKind.DOUBT, FindingKind.GUESSED, FindingKind.REFUSED})
"""Kinds of finding that ask for a look."""
UNSURE = frozenset({FindingKind.DOUBT, FindingKind.REFUSED})


@dataclass(frozen=True, slots=True)
class Choice:
    """A need that can be decided.

    Attributes:
        need: Its word in the code.
        key: Decides it.
        word: As it is said.
    """

    need: str
    key: str
    word: str


def need_word(need: Need) -> str:
    """A need as it is said, with its first letter raised."""
    return text(f"needs.need.{KEYS[need]}")


def choices() -> tuple[Choice, ...]:
    """All needs that can be decided."""
    return tuple(
        Choice(need.value, KEYS[need].upper(), text(f"needs.decide.{KEYS[need]}")) for need in Need
    )


def short(connection_id: str) -> str:
    """The last part of a connection's id."""
    return connection_id.rsplit("/", 1)[-1]


def entry_words(entry: Entry, system: System) -> str:
    """How much groundwater comes in: computed, else as coded."""
    if entry.flow is not None:
        return quantity(entry.flow, "l/h", system, digits=1 if system is System.METRIC else 2)
    return text(f"needs.coded.{entry.coded.name.lower()}")


def reason_words(verdict: Verdict) -> str:
    """Why, in one sentence."""
    return verdict.reasons[0].text if verdict.reasons else ""


def seen_words(connection: Connection) -> str:
    """Defects of a connection in a few words."""
    found = dict.fromkeys(CODES.get(d.code, d.code) for d in connection.defects)
    return ", ".join(found) or text("survey.nothing_coded")


def window_words(
    connection: Connection, verdict: Verdict, system: System, given: Iterable[str] = ()
) -> tuple[str, ...]:
    """Lines under the window of a connection, and why in few words.

    Args:
        connection: Of the survey.
        verdict: What it needs.
        system: Units of the reader.
        given: Words of the user that no change of units may touch.
    """
    return (
        text(f"needs.short.{KEYS[verdict.need]}"),
        entry_words(verdict.entry, system),
        quantity(connection.chainage, "m", system),
        in_units(reason_words(verdict), system, given),
    )


def facts(loaded: Loaded, run: Run, system: System) -> str:
    """Words on the main of a run."""
    declared = run_conditions(loaded.site, run)
    said = True if declared.liner_thickness is not None else run.lined
    lined = said if declared.lined is None else declared.lined
    material = declared.host_material or MATERIALS.get(run.material, run.material)
    dn = quantity(run.diameter, "mm", system, digits=None if system is System.US else 0)
    parts = [f"{dn} {material}".strip() if run.diameter else text("survey.run.no_diameter")]
    if declared.liner_thickness:
        liner = quantity(declared.liner_thickness, "mm", system)
        parts.append(text("survey.run.liner", thickness=liner))
    state = {True: "lined", False: "not_lined", None: "lining_unknown"}[lined]
    parts.append(text(f"survey.lining.{state}"))
    parts.append(quantity(run.length, "m", system) if run.length else text("survey.run.no_length"))
    ends = {n.node: n.invert for n in loaded.site.nodes}
    up, down = ends.get(run.upstream), ends.get(run.downstream)
    if up is not None and down is not None and run.length:
        fall = f"{100 * (up - down) / run.length:.2f} %".replace("-", "−")
        parts.append(text("survey.run.fall", fall=fall))
    return ", ".join(parts)


def clock_words(clock: float | None) -> str:
    """A clock position, or that it is not known."""
    return text("survey.unknown") if clock is None else clock_text(clock)


def findings_of(known: Known) -> tuple[Finding, ...]:
    """Every finding of survey, files and needs."""
    if known.loaded is None:
        return ()
    assessed = known.assessment.findings if known.assessment else ()
    return (*known.loaded.survey.findings, *known.loaded.findings, *assessed)


def open_ones(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those that ask for a look, the doubts first."""
    found = [f for f in findings if f.kind in GRAVE]
    return tuple(sorted(found, key=lambda f: f.kind not in UNSURE))


def entering(verdicts: Sequence[Verdict]) -> tuple[tuple[str, float], ...]:
    """(connection id, flow [m3/s]) of each known entry above 0, the greatest first."""
    flows = [(v.connection_id, v.entry.flow) for v in verdicts if v.entry.flow]
    return tuple(sorted(flows, key=lambda pair: -pair[1]))
