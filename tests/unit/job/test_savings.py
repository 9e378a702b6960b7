"""What the seals of a job save, from the flows of its assessment and the prices of its kit."""

from dataclasses import replace

import pytest

from teewright.job.savings import savings_of
from teewright.job.values import Job
from teewright.price.saved import Savings
from unit.report.sample import make_job

YEAR = 365.25 * 86400.0
JOB = make_job((4, 3), (30.0, 25.0))


def found(job: Job = JOB, water: float = 1.5) -> Savings | None:
    rates = replace(job.kit.rates, water=water)
    return savings_of(job.assessment, job.designs, job.quote, replace(job.kit, rates=rates))


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


def test_a_flow_that_nobody_knows_is_not_counted() -> None:
    first = JOB.designs.designs[0].connection_id
    verdicts = tuple(
        replace(v, entry=replace(v.entry, flow=None)) if v.connection_id == first else v
        for v in JOB.assessment.verdicts
    )
    savings = found(replace(JOB, assessment=replace(JOB.assessment, verdicts=verdicts)))
    assert savings is not None
    assert savings.not_counted == (first,)
