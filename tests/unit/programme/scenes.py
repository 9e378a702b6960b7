"""Small jobs with round numbers, in minutes, whose optimum can be found by hand."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.values import Installation

MONDAY = date(2024, 5, 6)
WEEK = (1, 2, 3, 4, 5)
MINUTE = 60.0
ANY_HOUR = tuple(range(24))

RULES = ShiftRules(
    start=7 * 3600.0,
    length=600 * MINUTE,
    set_up=30 * MINUTE,
    clear=15 * MINUTE,
    move=20 * MINUTE,
    mix=10 * MINUTE,
    wet_out=10 * MINUTE,
    lower=5 * MINUTE,
    travel_speed=0.1,
    position=5 * MINUTE,
    inflate=5 * MINUTE,
    remove=10 * MINUTE,
    test=10 * MINUTE,
    spare_share=0.2,
    max_collars=6,
)
"""Prepare 20, place 15, finish 20 minutes at no distance."""

CREW = Crew("East", 3, ("P", "Q"))
LONE = Crew("Lone", 2, ("P",))

BASE = Installation(
    connection_id="R/01",
    run_id="R",
    manhole="M",
    distance=0.0,
    packers=("P", "Q"),
    latest_inflation=60 * MINUTE,
    release=100 * MINUTE,
    allowed_hours=ANY_HOUR,
    access=(),
    not_before=MONDAY,
)


def asked(key: str, run: str = "R", manhole: str = "M") -> Installation:
    """An installation as `BASE`, with its own name and place."""
    return replace(BASE, connection_id=key, run_id=run, manhole=manhole)


def clock(hours: float, day: date = MONDAY) -> datetime:
    """A local time of day, which may pass 24 h."""
    return datetime.combine(day, time()) + timedelta(hours=hours)
