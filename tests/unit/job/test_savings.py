"""What the seals of a job save, from the flows of its assessment and the prices of its kit."""

from dataclasses import replace

import pytest

from teewright.assess.values import EntryClass
from teewright.job.savings import savings_of
from teewright.job.values import Job
from teewright.price.saved import Savings
from unit.report.sample import make_job

YEAR = 365.25 * 86400.0
JOB = make_job((4, 3), (30.0, 25.0))


def found(job: Job = JOB, water: float = 1.5, left: float = 0.0) -> Savings | None:
    rates = replace(job.kit.rates, water=water, entry_left=left)
    kit = replace(job.kit, rates=rates)
    return savings_of(job.assessment, job.designs, job.quote, kit, job.site)


def test_the_water_of_a_year_at_its_price() -> None:
    savings = found()
    assert savings is not None
    assert savings.connections
    for one in savings.connections:
        flow = JOB.assessment.of(one.connection_id).entry.flow
        assert flow is not None
        assert one.saving.volume_kept_out == pytest.approx(flow * YEAR)
        assert one.saving.yearly == pytest.approx(1.5 * flow * YEAR)
        assert one.payback.simple == pytest.approx(savings.price / one.saving.yearly)


def test_the_greatest_saving_comes_first_and_every_seal_has_its_place() -> None:
    savings = found()
    assert savings is not None
    yearly = [one.saving.yearly for one in savings.connections]
    assert yearly == sorted(yearly, reverse=True)
    names = {one.connection_id for one in savings.connections} | set(savings.not_counted)
    assert names == {d.connection_id for d in JOB.designs.designs}
    assert savings.price * len(names) == pytest.approx(JOB.quote.total)


def test_nothing_is_told_without_a_price_of_water_or_without_a_seal() -> None:
    assert found(water=0.0) is None
    assert found(replace(JOB, designs=replace(JOB.designs, designs=()))) is None


FIRST = JOB.designs.designs[0].connection_id


def coded(kind: EntryClass) -> Job:
    """The job with one connection of which the class alone is known."""
    verdicts = tuple(
        replace(v, entry=replace(v.entry, flow=None, coded=kind)) if v.connection_id == FIRST else v
        for v in JOB.assessment.verdicts
    )
    return replace(JOB, assessment=replace(JOB.assessment, verdicts=verdicts))


def test_a_flow_that_nobody_knows_is_not_counted() -> None:
    savings = found(coded(EntryClass.DRIPPING))
    assert savings is not None
    assert savings.not_counted == (FIRST,)


def test_a_coded_class_counts_as_declared_and_is_said_to_be() -> None:
    site = replace(JOB.site, entry_flows=(("dripping", 2e-6),), entry_source="buckets")
    savings = found(replace(coded(EntryClass.DRIPPING), site=site))
    assert savings is not None
    assert savings.not_counted == ()
    assert savings.source == "buckets"
    told = {one.connection_id: one for one in savings.connections}
    assert told[FIRST].declared == "dripping"
    assert told[FIRST].saving.volume_kept_out == pytest.approx(2e-6 * YEAR)
    assert {one.declared for name, one in told.items() if name != FIRST} == {""}
    # another class is still not counted
    other = found(replace(coded(EntryClass.GUSHING), site=site))
    assert other is not None
    assert other.not_counted == (FIRST,)


def test_a_computed_flow_counts_before_a_declared_one() -> None:
    flows = tuple((kind.value, 1e-3) for kind in EntryClass)
    savings = found(replace(JOB, site=replace(JOB.site, entry_flows=flows)))
    assert savings is not None
    assert savings.connections == found().connections  # type: ignore[union-attr]


def test_what_is_left_once_sealed_is_not_saved() -> None:
    whole, most = found(), found(left=0.1)
    assert whole is not None
    assert most is not None
    assert most.left == 0.1
    for before, after in zip(whole.connections, most.connections, strict=True):
        assert after.saving.volume_after == pytest.approx(0.1 * after.saving.volume_before)
        assert after.saving.yearly == pytest.approx(0.9 * before.saving.yearly)
