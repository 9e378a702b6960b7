"""Every traced number has a symbol of the nomenclature page, a source or a formula, and a unit."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from teewright.job.assessing import assess_survey
from teewright.job.designing import design_job
from teewright.job.proving import judge
from teewright.job.resolve import resolve
from teewright.job.values import Design
from teewright.job.window_case import window_case
from teewright.network.branch_pipe import BranchPipe
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.pressure.window import window_of
from teewright.site.readings import LeakReadings
from teewright.trace import Origin, TraceRow
from teewright.units import SHOWN
from unit.job import world

PAGE = Path(__file__).parents[3] / "docs" / "nomenclature.md"


def symbols() -> set[str]:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    cells = [line.split("|")[2] for line in lines if line.startswith("| ")]
    # a comma within a symbol (p_f,d) has no space behind it
    return {symbol.strip() for cell in cells for symbol in cell.split(", ")}


def parts(design: Design) -> list[tuple[TraceRow, ...]]:
    results = (
        design.collar,
        design.resin,
        design.cure,
        design.pressure,
        design.bypass,
    )
    assert design.forecast is not None
    assert design.flow is not None
    assert design.tight is not None
    return [
        design.trace,
        *(result.trace for result in results),
        design.forecast.trace,
        design.flow.trace,
        (*design.walls.shared, *design.walls.parts[0].trace),
        design.walls.parts[1].trace,
        design.walls.beside.trace,
        *seals(design.tight.trace),
    ]


def seals(trace: tuple[TraceRow, ...]) -> list[tuple[TraceRow, ...]]:
    """One calculation for each way along the collar."""
    places = dict.fromkeys(row.quantity.split(":")[0] for row in trace)
    return [tuple(r for r in trace if r.quantity.startswith(f"{p}:")) for p in places]


def cracked_branch(survey: Survey, site: Site) -> tuple[TraceRow, ...]:
    """The window where the pipe of a branch is declared as cracked."""
    inputs = resolve(survey, site, survey.connections[0])
    known, kit = replace(inputs, branch_pipe=BranchPipe(cracked=True)), world.kit()
    return window_of(window_case(known, kit.packers[0], kit)).trace


@pytest.fixture(scope="module")
def traces() -> list[tuple[TraceRow, ...]]:
    survey, site = world.survey(), world.site()
    cracked = replace(site, runs=tuple(replace(r, host_cracked=True) for r in site.runs))
    other = design_job(survey, cracked, world.kit(), assess_survey(survey, cracked))
    found = [world.designs().designs, other.designs]
    tests = (
        LeakReadings("1", "LC", ((0.0, 1e4), (300.0, 9.5e3)), ()),
        LeakReadings("1", "LC", ((0.0, 1e4),), (), test_volume=0.01, section_length=1.0),
        LeakReadings("1", "F1417", ((0.0, 24_132.0), (900.0, 2e4)), ()),
        LeakReadings("1", "F1417-HALF", (), (), test_volume=0.01, section_length=1.0),
        LeakReadings("1", "W", ((0.0, 3e4),), ((0.0, 0.0), (1800.0, 1e-5))),
    )
    return [
        *(part for designs in found for design in designs for part in parts(design)),
        *(cracked_branch(survey, place) for place in (site, cracked)),
        *(judge(test, 0.2).trace for test in tests),
    ]


def test_each_symbol_is_on_the_page(traces: list[tuple[TraceRow, ...]]) -> None:
    used = {row.symbol for trace in traces for row in trace}
    assert used - symbols() == set()


def test_a_symbol_stands_once_in_a_calculation(traces: list[tuple[TraceRow, ...]]) -> None:
    for trace in traces:
        names = [row.symbol for row in trace]
        assert len(names) == len(set(names)), names


def test_what_is_computed_says_how_and_what_is_given_says_by_whom(
    traces: list[tuple[TraceRow, ...]],
) -> None:
    for row in (row for trace in traces for row in trace):
        assert row.shown_in in SHOWN
        if row.origin is Origin.COMPUTED:
            assert row.formula, row
        if row.origin in {Origin.TABLE, Origin.ASSUMED}:
            assert row.source, row


def test_a_formula_uses_symbols_that_its_page_knows(
    traces: list[tuple[TraceRow, ...]],
) -> None:
    """Subscripted letters of formulas are symbols of the page; words and numbers are not."""
    known = symbols()
    used = {
        name
        for trace in traces
        for row in trace
        for name in re.findall(r"[A-Za-zα-ωΔ]+_[A-Za-z0-9]+(?:,[A-Za-z]+)?", row.formula)
    }
    assert used - known == set()


def test_a_reading_without_a_pressure_has_no_invented_one() -> None:
    rows = judge(LeakReadings("1", "W", ((0.0, 2e4),), ((0.0, 0.0), (1800.0, 1e-5))), 0.2).trace
    assert {r.symbol: r.value for r in rows}["p"] == 2e4
