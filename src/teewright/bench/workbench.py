"""A project file and the steps that are run on it.

A step is run again when the inputs changed since; what is quick to find is found anew.
"""

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, Generic, TypeVar

from teewright import __version__
from teewright.assess.values import Assessment
from teewright.bench.by_hand import Present, present
from teewright.bench.inputs import Inputs, Loaded, load, stored
from teewright.bench.naming import keep_names, kept_names
from teewright.bench.shelf import Shelf
from teewright.errors import InputError
from teewright.findings import Finding, FindingKind
from teewright.formats.json_values import dump
from teewright.formats.json_values import load as load_value
from teewright.job.values import Designs, Job
from teewright.programme.values import Programme
from teewright.store.project import Result

if TYPE_CHECKING:  # it takes a while to import, and not every command plans
    from teewright.job.planning import Planning

Value = TypeVar("Value")
AnyShelf = TypeVar("AnyShelf", bound=Shelf)
Progress = Callable[[str], None]
_FULL, _QUICK = "designs", "designs, quick"
_DAY = "first-day"


class Workbench(Generic[AnyShelf]):
    """Steps of one job on one project file.

    Args:
        project: Open project file.
        progress: Told in plain words what is being done.
        today: The day after it is the first day of work where the site names none.
        quick: Whether collars are made without their placement tolerance.
    """

    def __init__(
        self, project: AnyShelf, *, progress: Progress, today: date, quick: bool = False
    ) -> None:
        self.project, self.progress, self.today, self.quick = project, progress, today, quick

    @cached_property
    def documents(self) -> Inputs:
        """Documents of the project, a survey among them or not."""
        return stored(self.project)

    @cached_property
    def inputs(self) -> Inputs:
        """Documents of the project."""
        inputs = self.documents
        if not inputs.surveys:
            raise InputError(
                "holds no survey",
                file=self.project.path.name,
                allowed="`teewright read FILE... --project` first",
            )
        return inputs

    @cached_property
    def loaded(self) -> Loaded:
        """Inputs, read; the first day of work set."""
        self.progress("reading the survey")
        loaded = load(self.inputs, kept_names(self.project))
        if loaded.site.first_day:
            return loaded
        first = self._day_kept() or next_day(self.today, loaded.site.days)
        finding = Finding(
            FindingKind.ASSUMED,
            _DAY,
            f"the site names no first day of work: {first.isoformat()} assumed",
            value=first.isoformat(),
        )
        site = replace(loaded.site, first_day=first.isoformat())
        return replace(loaded, site=site, findings=(*loaded.findings, finding))

    @cached_property
    def assessment(self) -> Assessment:
        """Needs."""
        from teewright.job.assessing import assess_survey

        self.progress("assessing the connections")
        return assess_survey(self.loaded.survey, self.loaded.site, self.loaded.decisions)

    def _found(self, step: str) -> Result | None:
        """Stored result of a step, if it was made from these inputs."""
        stored = self.project.result(step)
        return stored if stored is not None and stored.fingerprint == self._inputs_now else None

    @cached_property
    def _inputs_now(self) -> str:
        return f"{__version__} {self.inputs.fingerprint} {self.loaded.site.first_day}"

    def _stored(self, step: str, kind: type[Value], make: Callable[[], Value]) -> Value:
        stored = self._found(step)
        if stored is not None:
            with suppress(InputError):  # kept by a version that knew less of it: find it anew
                return load_value(stored.json, kind, file=self.project.path.name)
        value = make()
        self.project.put_result(step, self._inputs_now, dump(value))
        self._keep_day()
        return value

    def _day_kept(self) -> date | None:
        """The first day that was assumed when something was computed from these inputs.

        What is planned stays planned overnight: the day does not move on with the calendar.
        """
        kept = self.project.result(_DAY)
        if kept is None or kept.fingerprint != self.inputs.fingerprint:
            return None
        return date.fromisoformat(json.loads(kept.json))

    def _keep_day(self) -> None:
        if any(finding.rule == _DAY for finding in self.loaded.findings):
            day = json.dumps(self.loaded.site.first_day)
            self.project.put_result(_DAY, self.inputs.fingerprint, day)

    @cached_property
    def designs(self) -> Designs:
        """Collars and their numbers.

        With their placement tolerance, unless only quick ones are
        asked for or are all that this project has been asked for so far.
        """
        quick = self.quick or (self._found(_FULL) is None and self._found(_QUICK) is not None)
        found = self._stored(_QUICK if quick else _FULL, Designs, lambda: self._design(quick=quick))
        keep_names(self.project, self.loaded.named)
        return found

    @property
    def designs_are_kept(self) -> bool:
        """Whether `designs` need not be made anew."""
        if "designs" in self.__dict__:
            return True
        return self._found(_FULL) is not None or self._found(_QUICK) is not None

    @cached_property
    def designs_are_of_before(self) -> bool:
        """Whether collars were designed, but for inputs that have changed since."""
        if self.designs_are_kept:
            return False
        return any(self.project.result(step) is not None for step in (_FULL, _QUICK))

    @property
    def programme_is_kept(self) -> bool:
        """Whether `programme` need not be made anew; asked once the designs are there."""
        return "planned" in self.__dict__ or self._found(self._programme_step) is not None

    @property
    def _programme_step(self) -> str:
        return "programme, quick" if self.designs_are_quick else "programme"

    @property
    def designs_are_quick(self) -> bool:
        """Whether the collars were made without their placement tolerance."""
        return all(d.collar.tolerance is None for d in self.designs.designs)

    def _design(self, *, quick: bool) -> Designs:
        from teewright.bench.pool import on_all_cores, remembered
        from teewright.collar.order import Effort
        from teewright.job.designing import design_job

        data, effort = self.loaded, Effort(tolerance=not quick)
        return design_job(
            data.survey,
            data.site,
            data.kit,
            self.assessment,
            make=remembered(self.project, on_all_cores(effort), effort),
            progress=self.progress,
        )

    @cached_property
    def planning(self) -> "Planning":
        """What is to be planned, with what and when."""
        from teewright.job.planning import planning_of

        data = self.loaded
        first = date.fromisoformat(data.site.first_day)
        return planning_of(
            data.survey, data.site, data.kit, self.assessment, self.designs, first_day=first
        )

    @cached_property
    def by_hand(self) -> Present:
        """What the user decided of the programme."""
        return present(self.project, self.planning)

    @cached_property
    def programme(self) -> Programme:
        """Shifts: as the user decided, else as computed."""
        hand = self.by_hand.hand
        return hand.programme if hand else self.planned

    @property
    def programme_findings(self) -> tuple[Finding, ...]:
        """What is doubtful about a programme that the user made."""
        there = self.by_hand
        if there.dropped:
            told = f"the programme made by hand is not used: {there.dropped}"
            return (Finding(FindingKind.DROPPED, "programme-by-hand", told),)
        broken = self.planning.breaches(self.programme) if there.hand else ()
        return tuple(
            Finding(
                FindingKind.DOUBT,
                "programme-by-hand",
                f"the programme made by hand breaks a rule: {b.text}",
                subject=b.about[0] if b.about else "",
            )
            for b in broken
        )

    def look_again(self) -> None:
        """The user decided something else of the programme."""
        for name in ("by_hand", "programme", "job"):
            self.__dict__.pop(name, None)

    @cached_property
    def planned(self) -> Programme:
        """Shifts as computed."""
        from teewright.job.planning import plan_job

        def make() -> Programme:
            data = self.loaded
            return plan_job(
                data.survey,
                data.site,
                data.kit,
                self.assessment,
                self.designs,
                first_day=date.fromisoformat(data.site.first_day),
                progress=self.progress,
            )

        return self._stored(self._programme_step, Programme, make)

    @cached_property
    def job(self) -> Job:
        """Everything, as the pack prints it."""
        from teewright.job.pricing import quote_job
        from teewright.job.proving import log_findings, prove_job
        from teewright.job.savings import savings_of

        data, events = self.loaded, self.project.events()
        installations, records = prove_job(
            data.survey, data.site, self.assessment, self.designs, self.programme, events
        )
        quote = quote_job(data.kit, self.assessment, self.designs, self.programme)
        return Job(
            survey=data.survey,
            site=data.site,
            kit=data.kit,
            assessment=self.assessment,
            designs=self.designs,
            programme=self.programme,
            quote=quote,
            events=events,
            installations=installations,
            records=records,
            findings=(
                *data.survey.findings,
                *data.findings,
                *self.assessment.findings,
                *self.designs.findings,
                *self.programme_findings,
                *log_findings(data.survey, self.designs, events),
            ),
            fingerprint=self.inputs.fingerprint[:8],
            savings=savings_of(self.assessment, self.designs, quote, data.kit, data.site),
        )

    @cached_property
    def job_as_planned(self) -> Job:
        """The same with the cure and the water of each collar at its planned hour."""
        from teewright.job.planned_cure import planned_cure_findings, planned_cures
        from teewright.job.planned_flow import planned_findings, planned_flow

        self.progress("looking at each collar at its planned hour")
        job = self.job
        asked = (job.survey, job.site, job.kit, job.designs, job.programme)
        holds, cures = planned_flow(*asked), planned_cures(*asked)
        found = (*planned_findings(holds), *planned_cure_findings(cures, job.designs))
        return replace(job, holds=holds, cures=cures, findings=(*job.findings, *found))

    def job_now(self) -> Job:
        """The same with the log as it is by now."""
        from teewright.job.proving import prove_job

        events = self.project.events()
        if events == self.job.events:
            return self.job
        installations, records = prove_job(
            self.loaded.survey, self.loaded.site, self.assessment, self.designs, self.programme,
            events,
        )  # fmt: skip
        return replace(self.job, events=events, installations=installations, records=records)


def next_day(today: date, days: tuple[int, ...]) -> date:
    """First day after today on which shifts may start (1 Monday to 7 Sunday)."""
    day = today + timedelta(days=1)
    while day.isoweekday() not in days:
        day += timedelta(days=1)
    return day
