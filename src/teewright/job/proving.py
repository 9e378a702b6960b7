"""Step: where each installation stands, its leak test, and the hand-over record."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from teewright.assess.values import Assessment
from teewright.errors import InputError, TeewrightError
from teewright.findings import Finding, FindingKind
from teewright.job.resolve import resolve
from teewright.job.values import Design, Designs
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.programme.values import Programme
from teewright.proof.en1610 import METHODS as EN_1610
from teewright.proof.en1610_air import judge_air
from teewright.proof.en1610_water import SINGLE_LENGTH, judge_water, wetted_area
from teewright.proof.f1417_air import METHODS as LOW_PRESSURE
from teewright.proof.f1417_air import judge_f1417
from teewright.proof.handover import handover
from teewright.proof.values import Decision, HandoverRecord, LeakTest, Matter
from teewright.site.clock import installations, state
from teewright.site.corrections import of_installation
from teewright.site.decisions import decisions
from teewright.site.naming import split_installation
from teewright.site.order import steps
from teewright.site.readings import LeakReadings, leak_readings
from teewright.site.values import Event, EventKind, InstallationState, Limits

AIR_METHODS = (*EN_1610, *LOW_PRESSURE)
"""Methods with air, of all standards."""
AIR_METHOD = "LC"
"""Air method where the readings name none; the reason of the test then says so."""


def limits_of(design: Design) -> Limits:
    """What an installation of this design is held to."""
    return Limits(
        latest_inflation=design.cure.latest_inflation,
        release=design.cure.release_time,
        pressure_low=design.pressure.low,
        pressure_high=design.pressure.high,
    )


def judge(readings: LeakReadings, diameter: float) -> LeakTest:
    """Judge the readings of one leak test of a connection.

    Where the volume under test and the distance of the seals were logged, the time of the
    standard is scaled by them; otherwise it is that of a whole pipe of the main's diameter.

    Args:
        readings: Of one test.
        diameter: Inner diameter of the lined main [m].

    Raises:
        TeewrightError: Readings that cannot be judged.
    """
    method = readings.method.upper() or AIR_METHOD
    if method == "W":
        return _judge_water(readings, diameter)
    if method not in AIR_METHODS:
        raise InputError(
            "is no method of a leak test", field="method", value=readings.method,
            allowed=", ".join((*AIR_METHODS, "W")),
        )  # fmt: skip
    by = judge_f1417 if method in LOW_PRESSURE else judge_air
    test = by(
        readings.pressures,
        diameter=diameter,
        method=method,
        test_volume=readings.test_volume,
        section_length=readings.section_length,
    )
    if readings.method:
        return test
    return replace(test, reason=f"{test.reason} Method {AIR_METHOD} taken: none was logged.")


def _judge_water(readings: LeakReadings, diameter: float) -> LeakTest:
    kept = [pressure for _, pressure in readings.pressures]
    if not kept:
        raise InputError("was not logged", field="pressure of a water test", allowed="10 to 50 kPa")
    return judge_water(
        readings.volumes,
        area=wetted_area(diameter, SINGLE_LENGTH),
        pressure=kept[0],
        swing=max(abs(pressure - kept[0]) for pressure in kept),
    )


def not_judged(readings: LeakReadings, error: TeewrightError) -> LeakTest:
    """A test whose readings cannot be judged, with the reason."""
    return LeakTest(
        method=readings.method,
        passed=None,
        required_time=0.0,
        observed_time=0.0,
        limit=0.0,
        measured=0.0,
        reason=f"Not judged: {error}.",
        trace=(),
    )


def tests_of(
    installation: str, events: tuple[Event, ...], diameter: float
) -> tuple[tuple[str, LeakTest], ...]:
    """(label, leak test) of each test of an installation, in the order in which they were begun.

    Args:
        installation: Connection id, `#`, attempt.
        events: The log, in its order.
        diameter: Inner diameter of the lined main [m].

    Returns:
        The last is the one that counts.
    """
    found = leak_readings(installation, events)
    return tuple((readings.label, _judged(readings, diameter)) for readings in found)


def _judged(readings: LeakReadings, diameter: float) -> LeakTest:
    try:
        return judge(readings, diameter)
    except TeewrightError as error:
        return not_judged(readings, error)


def leak_tests(
    names: Iterable[str], events: tuple[Event, ...], diameters: Mapping[str, float]
) -> dict[str, LeakTest]:
    """The leak test that counts, by installation.

    Args:
        names: Installations.
        events: The log, in its order.
        diameters: Inner diameter of the lined main by connection [m].
    """
    tests: dict[str, LeakTest] = {}
    for name in names:
        found = tests_of(name, events, diameters[split_installation(name)[0]])
        if found:
            tests[name] = found[-1][1]
    return tests


def lined_diameters(
    survey: Survey, site: Site, designs: Designs, connection_ids: Iterable[str]
) -> dict[str, float]:
    """Inner diameter of the lined main at connections [m]: as designed, else as it is known now.

    Args:
        survey: Reconciled survey, which holds them.
        site: What is declared of the place.
        designs: Collars.
        connection_ids: Which.
    """
    found = {}
    for name in connection_ids:
        design = designs.of(name)
        found[name] = (
            design.collar.junction.main_diameter
            if design is not None
            else resolve(survey, site, survey.connection(name)).lined_diameter
        )
    return found


BEARING = {
    Matter.ATTEMPT: frozenset({EventKind.ABORTED}),
    Matter.TEST: frozenset({EventKind.TEST_READING}),
    Matter.LIMITS: frozenset(
        {EventKind.MIXED, EventKind.AT_PRESSURE, EventKind.READING, EventKind.RELEASED}
    ),
}
"""What bears on a matter: logged after a decision, it must be decided anew."""


def decided(installation: str, events: tuple[Event, ...]) -> tuple[Decision, ...]:
    """What people decided of an installation, each on the matters on which it still counts."""
    return tuple(
        Decision(
            text=found.text,
            person=found.person,
            at=found.event.at,
            on=frozenset(matter for matter, kinds in BEARING.items() if not kinds & found.since),
        )
        for found in decisions(installation, events)
    )


def _given_up(installation: str, events: tuple[Event, ...]) -> str:
    """Why an installation was given up, as it was logged; empty where it was not."""
    found = steps(of_installation(events, installation))
    return next((dict(e.data).get("reason", "") for e in found if e.kind is EventKind.ABORTED), "")


def prove_job(
    survey: Survey,
    site: Site,
    assessment: Assessment,
    designs: Designs,
    programme: Programme,
    events: tuple[Event, ...],
) -> tuple[tuple[InstallationState, ...], tuple[HandoverRecord, ...]]:
    """States of the installations begun, and the record of each connection.

    What was set stays set where no collar is designed any more: it is judged by what was logged.
    """
    there = {c.id for c in survey.connections}
    names = [n for n in installations(events) if split_installation(n)[0] in there]
    begun = [split_installation(name)[0] for name in names]
    made = [designs.of(connection) for connection in begun]
    states = [
        state(name, events, limits_of(design) if design else None)
        for name, design in zip(names, made, strict=True)
    ]
    records = handover(
        [c.id for c in survey.connections],
        needs={v.connection_id: v.need.value for v in assessment.verdicts},
        planned={v.connection_id for s in programme.shifts for v in s.visits},
        installations=states,
        tests=leak_tests(names, events, lined_diameters(survey, site, designs, begun)),
        decisions={name: decided(name, events) for name in names},
        refusals={r.connection_id: r.reasons for r in designs.refusals},
        given_up={name: _given_up(name, events) for name in names},
    )
    return tuple(states), records


def log_findings(
    survey: Survey, designs: Designs, events: tuple[Event, ...]
) -> tuple[Finding, ...]:
    """What is doubtful about a log whose survey or collars were changed after it was written."""
    there = {c.id for c in survey.connections}
    found: list[Finding] = []
    for name in installations(events):
        connection = split_installation(name)[0]
        if connection not in there:
            text = (
                f"the log tells of work at {name}, which the survey does not hold any more: it is "
                "in no record until the survey holds it again"
            )
            found.append(Finding(FindingKind.DOUBT, "log-without-connection", text, value=name))
        elif designs.of(connection) is None:
            text = (
                f"work began at {name}, where no collar is designed any more: the record keeps "
                "it, but programme and price do not count it"
            )
            found.append(Finding(FindingKind.DOUBT, "set-without-design", text, subject=connection))
    return tuple(found)
