"""What each connection needs: named rules in a table, the first that fires decides."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from teewright.assess import decided, seals, works
from teewright.assess.case import Case, cases
from teewright.assess.coverage import unseen_parts
from teewright.assess.doubts import doubts
from teewright.assess.entry import GapFlow, entry, ranks
from teewright.assess.make_ready import MakeReady
from teewright.assess.values import Assessment, Need, Reason, Verdict
from teewright.network.conditions import Site
from teewright.network.values import Survey


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    Attributes:
        need: What follows where it decides.
        test: A case to one plain sentence, or None where the rule does not fire.
        work: Kind of make-ready work that it asks for, or None.
    """

    need: Need
    test: Callable[[Case], str | None]
    work: MakeReady | None = None

    @property
    def name(self) -> str:
        """Name of the rule: that of its function, with hyphens."""
        return self.test.__name__.replace("_", "-")


RULES: tuple[Rule, ...] = (
    Rule(Need.LEAVE, decided.must_leave),
    Rule(Need.LEAVE, decided.not_lined),
    Rule(Need.CLOSE_OFF, decided.disused),
    Rule(Need.LOOK_AGAIN, decided.open_state_disputed),
    Rule(Need.LOOK_AGAIN, decided.closed_but_flowing),
    Rule(Need.LOOK_AGAIN, decided.flow_direction_unknown),
    Rule(Need.LOOK_AGAIN, decided.length_unknown),
    Rule(Need.LOOK_AGAIN, decided.station_guessed),
    Rule(Need.LOOK_AGAIN, decided.outside_run),
    Rule(Need.LOOK_AGAIN, decided.liner_unsound),
    Rule(Need.MAKE_READY, decided.not_opened, MakeReady.FIND_OPENING),
    Rule(Need.CLOSE_OFF, decided.closed),
    Rule(Need.LOOK_AGAIN, decided.no_clock),
    Rule(Need.LOOK_AGAIN, decided.no_diameter),
    Rule(Need.LOOK_AGAIN, decided.diameter_disputed),
    Rule(Need.LOOK_AGAIN, decided.seen_where_a_pass_stopped),
    Rule(Need.MAKE_READY, works.wrong_position, MakeReady.RE_CUT),
    Rule(Need.MAKE_READY, works.blocked, MakeReady.RE_CUT),
    Rule(Need.MAKE_READY, works.cut_not_clean, MakeReady.RE_CUT),
    Rule(Need.MAKE_READY, works.intruding, MakeReady.REMOVE_INTRUSION),
    Rule(Need.MAKE_READY, works.seal_intruding, MakeReady.REMOVE_INTRUSION),
    Rule(Need.MAKE_READY, works.obstacle_left, MakeReady.REMOVE_INTRUSION),
    Rule(Need.MAKE_READY, works.roots, MakeReady.CUT_ROOTS),
    Rule(Need.MAKE_READY, works.deposits, MakeReady.DESCALE),
    Rule(Need.SEAL, seals.entry_seen),
    Rule(Need.SEAL, seals.leaking_out),
    Rule(Need.SEAL, seals.soil_or_void_seen),
    Rule(Need.SEAL, seals.not_tied_in),
    Rule(Need.SEAL, seals.damaged),
    Rule(Need.SEAL, seals.other_defect),
    Rule(Need.SEAL, seals.below_groundwater),
    Rule(Need.LEAVE, seals.dry_and_whole),
)
"""Every rule but the last resort, in order of precedence."""
LAST_RESORT = Rule(Need.SEAL, seals.cut_open)
"""Fires where no other rule does."""
_BEARING: dict[Need, frozenset[Need]] = {
    Need.SEAL: frozenset({Need.SEAL}),
    Need.MAKE_READY: frozenset({Need.MAKE_READY, Need.SEAL}),
    Need.LOOK_AGAIN: frozenset({Need.LOOK_AGAIN, Need.MAKE_READY, Need.SEAL}),
    Need.CLOSE_OFF: frozenset({Need.CLOSE_OFF}),
    Need.LEAVE: frozenset({Need.CLOSE_OFF}),
}
"""Need decided -> needs whose rules are worth telling besides."""


def decide(case: Case) -> tuple[Need, tuple[str, ...], tuple[Reason, ...]]:
    """What one connection needs.

    Returns:
        (need, kinds of make-ready work, reasons with the deciding one first).
    """
    fired = [(rule, text) for rule in RULES if (text := rule.test(case)) is not None]
    if not fired:
        fired = [(LAST_RESORT, LAST_RESORT.test(case) or "")]
    first = fired[0][0]
    bearing = _BEARING[first.need]
    told = [fired[0], *((rule, text) for rule, text in fired[1:] if rule.need in bearing)]
    kinds = tuple(dict.fromkeys(rule.work.value for rule, _ in told if rule.work))
    return (
        first.need,
        kinds if first.need is Need.MAKE_READY else (),
        tuple(Reason(rule.name, text) for rule, text in told),
    )


def assess(
    survey: Survey, site: Site, *, heads: Mapping[str, float | None], gap_flow: GapFlow
) -> Assessment:
    """What each connection of a survey needs, and how much groundwater it lets in.

    Args:
        survey: Reconciled survey.
        site: What is declared of the place.
        heads: Connection id -> groundwater above its centre [m], None or left out where it is
            not known.
        gap_flow: Flow through a thin gap, from (head, gap, path, perimeter) [m].
    """
    every = cases(survey, site, heads)
    entries = tuple(entry(case, site, gap_flow) for case in every)
    verdicts = tuple(
        Verdict(case.connection.id, *decide(case), entry=found, rank=rank)
        for case, found, rank in zip(every, entries, ranks(entries), strict=True)
    )
    return Assessment(verdicts, (*unseen_parts(survey), *doubts(every, verdicts, site)))
