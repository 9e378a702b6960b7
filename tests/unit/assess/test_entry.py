import math
from dataclasses import replace

import pytest
from scipy.integrate import quad

from teewright.assess.case import cases, cut_perimeter
from teewright.assess.entry import (
    NOMINAL_FLOW,
    coded_class,
    counted_flow,
    entry,
    ranking_flow,
    ranks,
)
from teewright.assess.rules import assess
from teewright.assess.values import Entry, EntryClass, GapEntry
from teewright.errors import InputError
from teewright.network.conditions import Site
from teewright.network.values import Connection, ConnectionKind

from .make import LINED, connection, defect, noted, sighting, survey

Call = tuple[float, float, float, float]


class Flow:
    """A gap flow that keeps what it was asked."""

    def __init__(self, flow: float | None = 1e-5, reynolds: float | None = 40.0) -> None:
        self.found = GapEntry(flow, 2e-4 if flow is None else None, reynolds)
        self.calls: list[Call] = []

    def __call__(self, head: float, gap: float, path: float, perimeter: float) -> GapEntry:
        self.calls.append((head, gap, path, perimeter))
        return self.found


def found(one: Connection, site: Site, head: float | None, flow: Flow) -> Entry:
    return entry(cases(survey(one), site, {one.id: head})[0], site, flow)


def test_the_gap_is_never_assumed() -> None:
    flow = Flow()
    assert found(connection(), LINED, 1.0, flow).flow is None
    assert found(connection(), noted(gap=1e-4), None, flow).flow is None
    assert found(connection(diameter=None), noted(gap=1e-4), 1.0, flow).flow is None
    assert flow.calls == []


def test_the_flow_is_asked_with_what_is_known() -> None:
    flow = Flow()
    site = noted(gap=1e-4, diameter=0.125)
    result = found(connection(), site, 1.5, flow)
    assert flow.calls[0] == pytest.approx((1.5, 1e-4, site.defaults.gap_path, math.pi * 0.125))
    assert (result.flow, result.basis, result.reynolds) == (1e-5, "thin gap", 40.0)
    assert "36.00 l/h" in result.text


def test_the_angle_comes_from_note_then_survey_then_kind() -> None:
    def perimeter(one: Connection, site: Site) -> float:
        flow = Flow()
        found(one, site, 1.0, flow)
        return flow.calls[0][3]

    wye = connection(kind=ConnectionKind.JUNCTION)
    half = math.pi / 4
    assert perimeter(wye, noted(gap=1e-4)) == cut_perimeter(0.15, half)
    assert perimeter(connection(angle=1.0), noted(gap=1e-4)) == cut_perimeter(0.15, 1.0)
    assert perimeter(connection(angle=1.0), noted(gap=1e-4, angle=half)) == cut_perimeter(
        0.15, half
    )


@pytest.mark.parametrize("degrees", [30, 45, 60, 75, 90])
def test_perimeter_of_the_oblique_cut_against_the_integral(degrees: float) -> None:
    angle = math.radians(degrees)
    a, b = 0.075 / math.sin(angle), 0.075

    def speed(t: float) -> float:
        return math.hypot(a * math.sin(t), b * math.cos(t))

    exact = quad(speed, 0.0, 2.0 * math.pi)[0]
    assert cut_perimeter(0.15, angle) == pytest.approx(exact, rel=1e-4)
    assert exact >= math.pi * 0.15 - 1e-12


def test_a_flow_outside_the_formula_is_refused_and_told() -> None:
    one = connection(defect("BBF", "C"))
    flow = Flow(None, 7146.0)
    result = found(one, noted(gap=5e-4), 3.0, flow)
    assert (result.flow, result.basis, result.reynolds) == (None, "coded class", 7146.0)
    assert "does not hold" in result.text
    assert "at the most 720 l/h, not counted" in result.text
    assert result.most == 2e-4
    whole = assess(survey(one), noted(gap=5e-4), heads={one.id: 3.0}, gap_flow=flow)
    assert "gap-flow-not-valid" in {f.rule for f in whole.findings}


def test_above_the_groundwater_nothing_comes_in() -> None:
    result = found(connection(), noted(gap=1e-4), 0.0, Flow())
    assert (result.flow, result.coded) == (0.0, EntryClass.DRY)


def test_water_seen_above_the_groundwater_is_a_doubt() -> None:
    one = connection(defect("BBF", "C"))
    result = assess(survey(one), LINED, heads={one.id: 0.0}, gap_flow=Flow())
    assert result.verdicts[0].entry.flow is None
    assert result.verdicts[0].entry.coded is EntryClass.FLOWING
    assert "entry-above-groundwater" in {f.rule for f in result.findings}


def test_coded_class() -> None:
    def of(one: Connection) -> EntryClass:
        return coded_class(cases(survey(one), LINED, {})[0])

    assert of(connection()) is EntryClass.DRY
    assert of(connection(defect("BBF", "A"), defect("BBF", "D"))) is EntryClass.GUSHING
    assert of(connection(defect("BBF"))) is EntryClass.DRIPPING
    listed = sighting(inspection="list.csv")
    assert of(connection(sightings=(listed,))) is EntryClass.UNKNOWN


def test_classes_rank_in_the_order_of_the_coding() -> None:
    order = [
        EntryClass.DRY, EntryClass.UNKNOWN, EntryClass.SWEATING, EntryClass.DRIPPING,
        EntryClass.FLOWING, EntryClass.GUSHING,
    ]  # fmt: skip
    assert sorted(NOMINAL_FLOW, key=NOMINAL_FLOW.__getitem__) == order
    assert set(NOMINAL_FLOW) == set(EntryClass)


def test_ranks_mix_flows_and_classes_and_keep_ties_in_order() -> None:
    plain = Entry(None, EntryClass.DRY, "coded class", None, 1.0, "")
    entries = (
        plain,
        replace(plain, coded=EntryClass.FLOWING),
        replace(plain, flow=2e-5, basis="thin gap"),
        plain,
        replace(plain, flow=1e-9, basis="thin gap", coded=EntryClass.GUSHING),
        replace(plain, coded=EntryClass.UNKNOWN, head=0.0),
    )
    assert ranks(entries) == (4, 3, 2, 5, 1, 6)
    assert ranking_flow(entries[4]) == NOMINAL_FLOW[EntryClass.GUSHING]


def test_assumptions_behind_a_computed_flow_are_findings() -> None:
    one = connection()
    result = assess(survey(one), noted(gap=1e-4), heads={one.id: 1.0}, gap_flow=Flow())
    assert {f.rule for f in result.findings} == {"gap-path", "gap-angle"}
    told = assess(survey(one), noted(gap=1e-4, angle=1.2), heads={one.id: 1.0}, gap_flow=Flow())
    assert {f.rule for f in told.findings} == {"gap-path"}


def test_a_nominal_flow_is_never_counted() -> None:
    coded = Entry(None, EntryClass.GUSHING, "coded class", None, 1.0, "")
    nothing = counted_flow(coded, {})
    assert (nothing.flow, nothing.basis) == (None, "not known")
    assert "not counted" in nothing.text
    told = counted_flow(coded, {EntryClass.GUSHING: 3e-4})
    assert (told.flow, told.basis) == (3e-4, "coded class as declared")
    assert "1080.00 l/h" in told.text


def test_a_computed_flow_counts_before_a_declared_one() -> None:
    computed = Entry(2e-6, EntryClass.FLOWING, "thin gap", 60.0, 1.0, "")
    assert counted_flow(computed, {EntryClass.FLOWING: 1e-4}).flow == 2e-6
    dry = Entry(0.0, EntryClass.DRY, "thin gap", None, 0.0, "")
    assert counted_flow(dry, {}).flow == 0.0


@pytest.mark.parametrize("flow", [-1e-6, math.nan, math.inf])
def test_a_declared_flow_that_is_none_is_refused(flow: float) -> None:
    plain = Entry(None, EntryClass.DRIPPING, "coded class", None, 1.0, "")
    with pytest.raises(InputError, match="flow declared for gushing"):
        counted_flow(plain, {EntryClass.GUSHING: flow})
