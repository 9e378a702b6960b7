"""Whether a finished programme keeps every rule, told from its datetimes alone.

Shares no code with the optimiser, on purpose: it takes the programme as a foreman would, and
holds each visit against the clock. Each rule is one function of `teewright.programme.rules`.
"""

from dataclasses import dataclass
from datetime import date

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.rules import asked, batch, flow, hands, packers, street
from teewright.programme.rules import shifts as hours
from teewright.programme.rules.case import Case, Rule
from teewright.programme.values import Installation, Programme

RULES: tuple[tuple[str, Rule], ...] = (
    ("once", asked.once),
    ("place", asked.place),
    ("step", batch.step),
    ("working-time", batch.working_time),
    ("release", batch.release),
    ("crew", hands.one_place),
    ("one-batch", hands.one_batch),
    ("set-up", hands.set_up),
    ("packer-fit", packers.fits),
    ("packer-van", packers.on_van),
    ("packer-once", packers.one_collar),
    ("run-once", street.one_in_run),
    ("one-crew", street.one_crew),
    ("access", street.access),
    ("flow", flow.flow),
    ("shift", hours.within),
    ("max-collars", hours.max_collars),
    ("weekday", hours.weekday),
    ("days", hours.days),
    ("not-before", asked.not_before),
    ("crew-known", hours.crew_known),
    ("crew-day", hours.crew_day),
    ("order", hours.order),
    ("bound", hours.bound),
    ("refusal", asked.refusal),
)
"""Every rule by its name, in the order in which they are told."""


@dataclass(frozen=True, slots=True)
class Breach:
    """A rule that a programme breaks.

    Attributes:
        rule: Name of the rule.
        text: One plain sentence: where and by how much.
        about: Connections of the visits that it speaks of; empty where it speaks of none.
    """

    rule: str
    text: str
    about: tuple[str, ...] = ()


def check(
    programme: Programme,
    installations: tuple[Installation, ...],
    *,
    crews: tuple[Crew, ...],
    shifts: ShiftRules,
    days: tuple[int, ...],
    first_day: date | None = None,
    last_day: date | None = None,
) -> tuple[Breach, ...]:
    """Hold a programme against every rule.

    Args:
        programme: The finished programme.
        installations: What was to be placed.
        crews: Crews with their packers.
        shifts: Rules of the shifts.
        days: Days of the week on which a shift may start, 1 Monday to 7 Sunday.
        first_day: First day of work, or None for any.
        last_day: Last day on which a shift may start, or None for any.

    Returns:
        Every breach found, in the order of the rules; empty where all are kept.
    """
    case = Case(
        programme,
        {i.connection_id: i for i in installations},
        {c.name: c for c in crews},
        shifts,
        days,
        first_day,
        last_day,
    )
    return tuple(Breach(name, *fault) for name, rule in RULES for fault in rule(case))
