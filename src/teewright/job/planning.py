"""Step: shifts."""

from collections.abc import Callable
from datetime import date, timedelta

from teewright.assess.values import Assessment, Need
from teewright.errors import ProgrammeCheckError
from teewright.hydraulics.values import blocked_hours
from teewright.job.values import Design, Designs
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.levels import run_conditions, run_length
from teewright.network.values import Survey
from teewright.programme.check import check
from teewright.programme.optimise import plan
from teewright.programme.values import Installation, Programme


def installation(
    design: Design, survey: Survey, site: Site, *, first_day: date, make_ready: bool
) -> Installation:
    """What the programme must know of one design.

    The packer goes in from the nearer manhole.
    """
    connection = survey.connection(design.connection_id)
    run = survey.run(connection.run_id)
    length = run_length(survey, run) or connection.chainage
    from_upstream = connection.chainage <= length - connection.chainage
    distance = connection.chainage if from_upstream else length - connection.chainage
    wait = timedelta(days=site.ready_days if make_ready else 0)
    return Installation(
        connection_id=connection.id,
        run_id=run.id,
        manhole=run.upstream if from_upstream else run.downstream,
        distance=max(distance, 0.0),
        packers=design.packers,
        latest_inflation=design.cure.latest_inflation,
        release=design.cure.release_time,
        allowed_hours=blocked_hours(design.bypass, design.flow),
        access=run_conditions(site, run).access,
        not_before=first_day + wait,
    )


def installations(
    survey: Survey, site: Site, assessment: Assessment, designs: Designs, *, first_day: date
) -> tuple[Installation, ...]:
    """One installation for each design that can be set."""
    return tuple(
        installation(
            design,
            survey,
            site,
            first_day=first_day,
            make_ready=assessment.of(design.connection_id).need is Need.MAKE_READY,
        )
        for design in designs.designs
    )


def plan_job(
    survey: Survey,
    site: Site,
    kit: Kit,
    assessment: Assessment,
    designs: Designs,
    *,
    first_day: date,
    progress: Callable[[str], None] | None = None,
) -> Programme:
    """Shifts for all designs, verified by the checker.

    Raises:
        ProgrammeCheckError: The finished programme breaks a constraint.
    """
    wanted = installations(survey, site, assessment, designs, first_day=first_day)
    found = plan(
        wanted,
        crews=kit.crews,
        shifts=kit.shifts,
        first_day=first_day,
        days=site.days,
        progress=progress,
    )
    breaches = check(
        found,
        wanted,
        crews=kit.crews,
        shifts=kit.shifts,
        days=site.days,
        first_day=first_day,
    )
    if breaches:
        raise ProgrammeCheckError(
            f"the programme breaks {len(breaches)} constraints, the first: {breaches[0].text}"
        )
    return found
