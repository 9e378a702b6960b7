"""A project file and the steps that are run on it.

A step is run again when the inputs changed since; what is quick to find is found anew.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property
from typing import TypeVar

from teewright import __version__
from teewright.assess.values import Assessment
from teewright.cli.inputs import Inputs, Loaded, load, stored
from teewright.errors import InputError
from teewright.findings import Finding, FindingKind
from teewright.formats.json_values import dump
from teewright.formats.json_values import load as load_value
from teewright.job.values import Designs, Job
from teewright.programme.values import Programme
from teewright.store.project import Project

Value = TypeVar("Value")
Progress = Callable[[str], None]


class Workbench:
    """Steps of one job on one project file.

    Args:
        project: Open project file.
        progress: Told in plain words what is being done.
        today: Used as the first day of work where the site names none.
    """

    def __init__(self, project: Project, *, progress: Progress, today: date) -> None:
        self.project, self.progress, self.today = project, progress, today

    @cached_property
    def inputs(self) -> Inputs:
        """Documents of the project."""
        inputs = stored(self.project)
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
        loaded = load(self.inputs)
        if loaded.site.first_day:
            return loaded
        first = next_day(self.today, loaded.site.days)
        finding = Finding(
            FindingKind.ASSUMED,
            "first-day",
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
        return assess_survey(self.loaded.survey, self.loaded.site)

    def _stored(self, step: str, kind: type[Value], make: Callable[[], Value]) -> Value:
        fingerprint = f"{__version__} {self.inputs.fingerprint} {self.loaded.site.first_day}"
        stored = self.project.result(step)
        if stored is not None and stored.fingerprint == fingerprint:
            return load_value(stored.json, kind, file=self.project.path.name)
        value = make()
        self.project.put_result(step, fingerprint, dump(value))
        return value

    @cached_property
    def designs(self) -> Designs:
        """Collars and their numbers."""
        from teewright.job.designing import design_job

        def make() -> Designs:
            def told(connection: str, done: int, total: int) -> None:
                self.progress(f"designing collar {done} of {total}: {connection}")

            data = self.loaded
            return design_job(data.survey, data.site, data.kit, self.assessment, progress=told)

        return self._stored("designs", Designs, make)

    @cached_property
    def programme(self) -> Programme:
        """Shifts."""
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

        return self._stored("programme", Programme, make)

    @cached_property
    def job(self) -> Job:
        """Everything, as the pack prints it."""
        from teewright.job.pricing import quote_job
        from teewright.job.proving import prove_job

        data = self.loaded
        installations, records = prove_job(
            data.survey, self.assessment, self.designs, self.programme, self.project.events()
        )
        return Job(
            survey=data.survey,
            site=data.site,
            kit=data.kit,
            assessment=self.assessment,
            designs=self.designs,
            programme=self.programme,
            quote=quote_job(data.kit, self.assessment, self.designs, self.programme),
            events=self.project.events(),
            installations=installations,
            records=records,
            findings=(
                *data.survey.findings,
                *data.findings,
                *self.assessment.findings,
                *self.designs.findings,
            ),
            fingerprint=self.inputs.fingerprint[:8],
        )


def next_day(today: date, days: tuple[int, ...]) -> date:
    """First day after today on which shifts may start (1 Monday to 7 Sunday)."""
    day = today + timedelta(days=1)
    while day.isoweekday() not in days:
        day += timedelta(days=1)
    return day
