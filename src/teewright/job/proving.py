"""Step: where each installation stands, its leak test, and the hand-over record."""

from collections.abc import Iterable
from dataclasses import replace

from teewright.assess.values import Assessment
from teewright.errors import InputError, TeewrightError
from teewright.job.values import Design, Designs
from teewright.network.values import Survey
from teewright.programme.values import Programme
from teewright.proof.en1610_air import judge_air
from teewright.proof.en1610_water import SINGLE_LENGTH, judge_water, wetted_area
from teewright.proof.handover import handover
from teewright.proof.values import Decision, HandoverRecord, LeakTest, Matter
from teewright.site.clock import installations, state
from teewright.site.decisions import decisions
from teewright.site.naming import split_installation
from teewright.site.readings import LeakReadings, leak_readings
from teewright.site.values import Event, EventKind, InstallationState, Limits

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
    if readings.method.upper() == "W":
        return _judge_water(readings, diameter)
    test = judge_air(
        readings.pressures,
        diameter=diameter,
        method=readings.method or AIR_METHOD,
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
    names: Iterable[str], events: tuple[Event, ...], designs: Designs
) -> dict[str, LeakTest]:
    """The leak test that counts, by installation."""
    tests: dict[str, LeakTest] = {}
    for name in names:
        design = designs.of(split_installation(name)[0])
        if design is None:
            continue
        found = tests_of(name, events, design.collar.junction.main_diameter)
        if found:
            tests[name] = found[-1][1]
    return tests


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


def prove_job(
    survey: Survey,
    assessment: Assessment,
    designs: Designs,
    programme: Programme,
    events: tuple[Event, ...],
) -> tuple[tuple[InstallationState, ...], tuple[HandoverRecord, ...]]:
    """States of the installations begun, and the record of each connection."""
    names = installations(events)
    states = []
    for name in names:
        design = designs.of(split_installation(name)[0])
        if design is not None:
            states.append(state(name, events, limits_of(design)))
    records = handover(
        [c.id for c in survey.connections],
        needs={v.connection_id: v.need.value for v in assessment.verdicts},
        planned={v.connection_id for s in programme.shifts for v in s.visits},
        installations=states,
        tests=leak_tests(names, events, designs),
        decisions={name: decided(name, events) for name in names},
        refusals={r.connection_id: r.reasons for r in designs.refusals},
    )
    return tuple(states), records
