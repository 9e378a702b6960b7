"""Tables for people: one table a question, units in the heads, plain words."""

import math
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from rich.console import Console
from rich.table import Table
from rich.text import Text

from teewright.assess.values import Assessment
from teewright.findings import Finding, FindingKind
from teewright.job.values import Designs
from teewright.network.values import Survey
from teewright.price.values import Quote
from teewright.programme.values import Programme
from teewright.proof.values import HandoverRecord
from teewright.units import BAR, LITRE, MINUTE, MM, clock_text

MOST_FINDINGS = 12
"""Findings printed by rule before the rest is only counted."""
WHOLE = frozenset({"Connection", "Run", "Kind", "Open", "Need", "State", "Rule", "Packer"})
"""Heads of columns whose words are not broken over lines, however narrow the terminal ..."""
MANY = 8
"""In tables of more columns the unit stands below the head."""
WIDEST = 24
"""... unless one is longer than this [signs]."""


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Table:
    """A table without verticals; heads that end in a unit are set right."""
    cells = [tuple(row) for row in rows]
    made = Table(title=title, title_justify="left", box=None, header_style="bold")
    made.pad_edge, made.padding = False, (0, 1, 0, 0)
    for place, head in enumerate(heads):
        widest = max((len(row[place]) for row in cells), default=0)
        whole = head in WHOLE and widest <= WIDEST
        made.add_column(
            head.replace(", ", ",\n") if len(heads) > MANY else head,
            justify="right" if ", " in head or head in {"No", "Seen"} else "left",
            min_width=widest if whole else None,
            overflow="fold",
        )
    for row in cells:
        made.add_row(*(Text(cell) for cell in row))
    made.show_header = made.row_count > 0
    return made


def counted(number_of: int, thing: str) -> str:
    """`1 run`, `2 runs`."""
    return f"{number_of} {thing}" if number_of == 1 else f"{number_of} {thing}s"


def number(value: float | None, factor: float = 1.0, decimals: int = 2) -> str:
    """A number in the unit of the column; `–` where it is not known."""
    return "–" if value is None else f"{value / factor:.{decimals}f}"


def next_minute(moment: datetime) -> datetime:
    """The moment, or the next full minute: a release is never told too early."""
    whole = moment.replace(second=0, microsecond=0)
    return moment if moment == whole else whole + timedelta(minutes=1)


def survey_tables(console: Console, survey: Survey) -> None:
    """Runs and connections."""
    if not survey.runs:
        console.print("No run was found in these files.")
        return
    console.print(
        table(
            f"{counted(len(survey.runs), 'run')} from "
            f"{counted(len(survey.inspections), 'inspection')}",
            ("Run", "Length, m", "DN, mm", "Lined", "Inspections, no", "Connections, no"),
            (
                (
                    run.id,
                    number(run.length),
                    number(run.diameter, MM, 0),
                    {True: "yes", False: "no", None: "not stated"}[run.lined],
                    str(len(run.inspections)),
                    str(len(survey.of_run(run.id))),
                )
                for run in survey.runs
            ),
        )
    )
    console.print()
    console.print(
        table(
            counted(len(survey.connections), "connection"),
            (
                "Connection",
                "Chainage, m",
                "Clock, h",
                "DN, mm",
                "Kind",
                "Open",
                "Seen",
                "Defects",
            ),
            (
                (
                    c.id,
                    number(c.chainage),
                    clock_text(c.clock),
                    number(c.diameter, MM, 0),
                    c.kind.value,
                    {True: "open", False: "closed", None: "–"}[c.is_open],
                    str(len(c.sightings)),
                    " ".join(dict.fromkeys(d.code + d.char1 for d in c.defects)),
                )
                for c in survey.connections
            ),
        )
    )


def findings_table(console: Console, findings: Sequence[Finding]) -> None:
    """Findings by rule, the gravest first, each with its count and first place."""
    if not findings:
        console.print("No findings.")
        return
    gravity = {kind: place for place, kind in enumerate(FindingKind)}
    groups: dict[tuple[FindingKind, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.kind, finding.rule), []).append(finding)
    ordered = sorted(groups.items(), key=lambda g: (-gravity[g[0][0]], g[0][1]))
    console.print(
        table(
            counted(len(findings), "finding"),
            ("Kind", "Rule", "No", "First of them"),
            (
                (
                    kind.value,
                    rule,
                    str(len(group)),
                    f"{group[0].place}: {group[0].text}" if str(group[0].place) else group[0].text,
                )
                for (kind, rule), group in ordered[:MOST_FINDINGS]
            ),
        )
    )
    if len(ordered) > MOST_FINDINGS:
        console.print(
            f"and {counted(len(ordered) - MOST_FINDINGS, 'more rule')}; "
            "all are in the pack and in --json"
        )


def assessment_table(console: Console, assessment: Assessment) -> None:
    """Needs, the greatest entry of groundwater first."""
    ranked = sorted(assessment.verdicts, key=lambda v: v.rank)
    console.print(
        table(
            f"{counted(len(ranked), 'connection')} by groundwater entry",
            ("No", "Connection", "Need", "First", "Entry", "Why"),
            (
                (
                    str(v.rank),
                    v.connection_id,
                    v.need.value,
                    ", ".join(v.make_ready) or "–",
                    v.entry.text,
                    f"{v.reasons[0].text} [{v.reasons[0].rule}]",
                )
                for v in ranked
            ),
        )
    )


def designs_table(console: Console, designs: Designs) -> None:
    """Collars with the numbers that a crew sets, then refusals."""
    console.print(
        table(
            f"{counted(len(designs.designs), 'collar')}, {len(designs.refusals)} refused",
            (
                "Connection", "Pattern", "Fabric, m2", "Resin, l", "Packs, no", "Set, bar",
                "Within, min", "Release, min", "Wall, mm", "Needed, mm",
            ),
            (
                (
                    d.connection_id,
                    d.collar.pattern,
                    number(d.collar.fabric_area, 1, 3),
                    number(d.resin.volume, LITRE),
                    str(d.resin.packs),
                    number(d.pressure.set, BAR),
                    f"{math.floor(d.cure.latest_inflation / MINUTE)}",
                    f"{math.ceil(d.cure.release_time / MINUTE)}",
                    number(d.governing_wall.provided, MM),
                    number(d.governing_wall.required, MM),
                )
                for d in designs.designs
            ),
        )
    )  # fmt: skip
    for refusal in designs.refusals:
        console.print(Text(f"{refusal.connection_id} refused: {'; '.join(refusal.reasons)}"))


def programme_table(console: Console, programme: Programme) -> None:
    """Shifts and their visits, then what could not be planned."""
    proof = "proved the least" if programme.proved else f"at least {programme.bound} needed"
    console.print(
        table(
            f"{counted(len(programme.shifts), 'shift')} ({proof})",
            (
                "Shift",
                "Crew",
                "Connection",
                "Manhole",
                "Packer",
                "Mix at",
                "At pressure by",
                "Release from",
                "Tested",
            ),
            (
                (
                    f"{shift.number}  {shift.start:%a %d %b %H:%M}",
                    shift.crew,
                    v.connection_id,
                    v.manhole,
                    v.packer,
                    f"{v.mix:%H:%M}",
                    f"{v.latest_pressure:%H:%M}",
                    f"{next_minute(v.earliest_release):%H:%M}",
                    f"{v.tested:%H:%M}",
                )
                for shift in programme.shifts
                for v in shift.visits
            ),
        )
    )
    for left in programme.unplanned:
        console.print(Text(f"{left.connection_id} not planned [{left.rule}]: {left.text}"))


def quote_table(console: Console, quote: Quote) -> None:
    """The quotation."""
    lines = [
        (
            line.item,
            f"{line.quantity:g} {line.unit}",
            number(line.rate),
            number(line.sum),
            line.note,
        )
        for line in quote.lines
    ]
    lines += [
        ("Sum", "", "", number(quote.net), ""),
        ("Overhead", "", "", number(quote.overhead), ""),
        ("Total without tax", "", "", number(quote.total), ""),
        ("If all open ones are sealed", "", "", number(quote.if_open_sealed), ""),
    ]
    heads = ("Item", "Quantity", f"Rate, {quote.currency}", f"Sum, {quote.currency}", "From")
    console.print(table("Quantities and price", heads, lines))


def records_table(console: Console, records: Sequence[HandoverRecord]) -> None:
    """Hand-over state of each connection."""
    console.print(
        table(
            counted(len(records), "connection"),
            ("Connection", "State", "Leak test", "Departures and open points"),
            (
                (
                    r.connection_id,
                    r.state.value,
                    r.test.reason if r.test else "–",
                    "; ".join((*r.departures, *r.open_points)) or "–",
                )
                for r in records
            ),
        )
    )
