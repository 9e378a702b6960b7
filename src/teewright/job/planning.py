"""Step: shifts."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from teewright.assess.values import Assessment, Need
from teewright.errors import ProgrammeCheckError
from teewright.hydraulics.values import blocked_hours
from teewright.job.hold_windows import hold_windows
from teewright.job.values import Design, Designs
from teewright.kit.values import Crew, Kit, ShiftRules
from teewright.network.conditions import Site
from teewright.network.levels import run_conditions, run_length
from teewright.network.values import Survey
from teewright.programme.check import Breach, check
from teewright.programme.fixing import Keep, replan
from teewright.programme.moving import Move, move
from teewright.programme.optimise import plan
from teewright.programme.values import Installation, Programme
from teewright.site.naming import split_installation
from teewright.site.values import InstallationState


@dataclass(frozen=True, slots=True)
class Planning:
    """What is to be planned, with what and when.

    Attributes:
        installations: What is to be placed.
        crews: Crews with their packers.
        rules: Of the shifts.
        first_day: First day of work.
        days: Days of the week on which a shift may start, 1 Monday to 7 Sunday.
    """

    installations: tuple[Installation, ...]
    crews: tuple[Crew, ...]
    rules: ShiftRules
    first_day: date
    days: tuple[int, ...]

    def breaches(self, programme: Programme) -> tuple[Breach, ...]:
        """Every rule that a programme breaks, by the checker."""
        return check(
            programme,
            self.installations,
            crews=self.crews,
            shifts=self.rules,
            days=self.days,
            first_day=self.first_day,
        )

    def move(self, programme: Programme, wish: Move, held: frozenset[str]) -> Programme:
        """A programme with one visit in another place.

        Args:
            programme: As it is.
            wish: What is wanted.
            held: Connections whose visits keep their times.

        Raises:
            InputError: It cannot be moved there.
        """
        return move(
            programme,
            wish,
            asked=self.installations,
            crews=self.crews,
            rules=self.rules,
            held=held,
        )

    def replan(
        self,
        programme: Programme,
        kept: frozenset[str],
        *,
        now: datetime | None = None,
        progress: Callable[[str], None] | None = None,
    ) -> Programme:
        """Plan again around visits that are kept; never worse than what there is, where that holds.

        Args:
            programme: As it is.
            kept: Connections whose visits stay.
            now: Nothing else begins before; None where all of it lies ahead.
            progress: Told in one line what is being done.

        Raises:
            ProgrammeCheckError: What was planned anew breaks a rule.
        """
        found = replan(
            self.installations,
            programme,
            Keep(kept, now),
            crews=self.crews,
            shifts=self.rules,
            first_day=self.first_day,
            days=self.days,
            progress=progress,
        )
        old = self.breaches(programme)
        for breach in self.breaches(found):
            if set(breach.about) - kept or not (breach.about or breach in old):
                raise ProgrammeCheckError(f"the programme breaks a rule: {breach.text}")
        begins = [v.mix for s in programme.shifts for v in s.visits if v.connection_id not in kept]
        ahead = now is None or all(mix > now for mix in begins)
        return programme if not old and ahead and _no_worse(programme, found) else found


def _no_worse(one: Programme, other: Programme) -> bool:
    """Whether a programme leaves out no more, needs no more shifts and ends no later."""
    rank = [
        (len(p.unplanned), len(p.shifts), max((s.day for s in p.shifts), default=date.min))
        for p in (one, other)
    ]
    return rank[0] <= rank[1]


def planning_of(
    survey: Survey,
    site: Site,
    kit: Kit,
    assessment: Assessment,
    designs: Designs,
    *,
    first_day: date,
) -> Planning:
    """What is to be planned for all designs."""
    wanted = installations(survey, site, assessment, designs, first_day=first_day)
    return Planning(wanted, kit.crews, kit.shifts, first_day, site.days)


def begun(states: Iterable[InstallationState]) -> frozenset[str]:
    """Connections at which work has begun or is done, and was not given up."""
    return frozenset(
        split_installation(s.installation)[0]
        for s in states
        if s.step is not None and not s.aborted
    )


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
        holds=None if design.flow is None else hold_windows(design.flow),
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
    planning = planning_of(survey, site, kit, assessment, designs, first_day=first_day)
    found = plan(
        planning.installations,
        crews=planning.crews,
        shifts=planning.rules,
        first_day=first_day,
        days=planning.days,
        progress=progress,
    )
    breaches = planning.breaches(found)
    if breaches:
        raise ProgrammeCheckError(
            f"the programme breaks {len(breaches)} constraints, the first: {breaches[0].text}"
        )
    return found
