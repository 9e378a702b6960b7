"""A small invented world for the steps of a job: one run, a kit, a site."""

from dataclasses import replace
from functools import cache

from teewright import demo
from teewright.formats.detect import read_survey_file
from teewright.formats.kit_toml import read_kit
from teewright.formats.site_toml import read_site
from teewright.job.assessing import assess_survey
from teewright.job.designing import design_job
from teewright.job.values import Designs
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.reconcile import reconcile
from teewright.network.values import Survey


@cache
def kit() -> Kit:
    return read_kit(demo.file(demo.KIT_FILE), file="kit.toml")[0]


@cache
def site() -> Site:
    return read_site(demo.file(demo.SITE_FILE), file="site.toml")[0]


@cache
def survey() -> Survey:
    contents = [read_survey_file(demo.file(n), file=n) for n in demo.SURVEY_FILES]
    return reconcile(
        tuple(i for c in contents for i in c.inspections),
        runs=tuple(r for c in contents for r in c.runs),
        sightings=tuple(s for c in contents for s in c.sightings),
    )


@cache
def designs() -> Designs:
    """What is designed of that world as it is."""
    return design_job(survey(), site(), kit(), assess_survey(survey(), site()))


def with_rules(**changes: object) -> Kit:
    made = kit()
    return replace(made, rules=replace(made.rules, **changes))  # type: ignore[arg-type]
