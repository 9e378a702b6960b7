"""Rules for work to be done before a collar can be set."""

from teewright.assess.case import Case
from teewright.network.values import Defect


def _with_amount(text: str, defects: tuple[Defect, ...]) -> str:
    amounts = [d.q1 for d in defects if d.q1 is not None]
    return f"{text}, coded {max(amounts):g}, unit not stated" if amounts else text


def wrong_position(case: Case) -> str | None:
    """The opening was cut beside the lateral (BAH A)."""
    return "the cut sits beside the lateral (BAH A)" if case.defects("BAH", "A") else None


def blocked(case: Case) -> str | None:
    """The opening is blocked (BAH E)."""
    return "the opening is blocked (BAH E)" if case.defects("BAH", "E") else None


def cut_not_clean(case: Case) -> str | None:
    """The cut edge of the liner is defective or wrinkled (BAK C, D)."""
    found = case.defects("BAK", "C", "D")
    return f"the cut edge of the liner is not clean (BAK {found[0].char1})" if found else None


def intruding(case: Case) -> str | None:
    """The lateral stands into the main (BAG)."""
    found = case.defects("BAG")
    return _with_amount("the lateral stands into the main (BAG)", found) if found else None


def seal_intruding(case: Case) -> str | None:
    """A sealing ring or sealant stands into the main (BAI)."""
    return "a seal stands into the main (BAI)" if case.defects("BAI") else None


def obstacle_left(case: Case) -> str | None:
    """The liner blisters inward, or an old repair left material standing (BAK E, BAL E)."""
    found = case.defects("BAK", "E") + case.defects("BAL", "E")
    return f"an obstacle stands in the bore ({found[0].code} E)" if found else None


def roots(case: Case) -> str | None:
    """Roots grow in (BBA)."""
    found = case.defects("BBA")
    return _with_amount("roots grow in (BBA)", found) if found else None


def deposits(case: Case) -> str | None:
    """Deposits stick to it or lie in it (BBB, BBC)."""
    found = case.defects("BBB") + case.defects("BBC")
    if not found:
        return None
    return _with_amount(f"deposits at the opening ({found[0].code})", found)
