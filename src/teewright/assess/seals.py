"""Rules for sealing, and for leaving what is dry and whole."""

from teewright.assess.case import Case
from teewright.network.values import Defect

ENTRY_WORDS = {"A": "sweating", "B": "dripping", "C": "flowing", "D": "gushing"}
NOT_DEFECTS = {"BDE", "BDA", "BDB"}
"""Codes that say nothing against a connection: flow from it, photo, remark."""
WHOLLY_RULED = frozenset({
    "BAB", "BAC", "BAG", "BAI", "BAJ", "BAO", "BAP", "BBA", "BBB", "BBC", "BBD", "BBF", "BBG",
})  # fmt: skip
"""Codes that a rule of their own deals with, whatever their characterisation."""
PARTLY_RULED = {
    "BAH": frozenset("ABCDE"),
    "BAK": frozenset("ACDEFIJLMN"),
    "BAL": frozenset("E"),
}
"""Codes -> characterisations that a rule of their own deals with."""


def _code(defect: Defect) -> str:
    return f"{defect.code} {defect.char1}".strip()


def entry_seen(case: Case) -> str | None:
    """Groundwater was seen to come in (BBF)."""
    found = case.defects("BBF")
    if not found:
        return None
    worst = max(d.char1 for d in found)
    return f"groundwater was seen to come in, {ENTRY_WORDS.get(worst, 'class not coded')} (BBF)"


def leaking_out(case: Case) -> str | None:
    """Sewage was seen to leave (BBG)."""
    return "sewage was seen to leave (BBG)" if case.defects("BBG") else None


def soil_or_void_seen(case: Case) -> str | None:
    """Soil or a void shows behind it (BAO, BAP, BBD): the bedding wants a look as well."""
    found = case.defects("BAO") + case.defects("BAP") + case.defects("BBD")
    if not found:
        return None
    return f"soil or a void shows behind it ({found[0].code}); have the bedding looked at"


def not_tied_in(case: Case) -> str | None:
    """It is set back, not fully tied in or not sealed at the liner's edge (BAH B, C; BAK N)."""
    found = case.defects("BAH", "B", "C") + case.defects("BAK", "N")
    if not found:
        return None
    return f"not tightly tied in ({found[0].code} {found[0].char1})"


def damaged(case: Case) -> str | None:
    """The connection or the pipe at it is damaged (BAH D, BAB, BAC, BAJ)."""
    found = (
        case.defects("BAH", "D") + case.defects("BAB") + case.defects("BAC") + case.defects("BAJ")
    )
    return f"damaged ({_code(found[0])})" if found else None


def other_defect(case: Case) -> str | None:
    """Any other defect is coded at it."""
    found = [
        d
        for d in case.connection.defects
        if d.code not in NOT_DEFECTS | WHOLLY_RULED
        and d.char1 not in PARTLY_RULED.get(d.code, frozenset())
    ]
    if not found:
        return None
    return f"a defect is coded at it ({_code(found[0])})"


def below_groundwater(case: Case) -> str | None:
    """Groundwater can stand above it."""
    if case.head is None or case.head <= 0.0:
        return None
    return f"groundwater can stand {case.head:.2f} m above it"


def dry_and_whole(case: Case) -> str | None:
    """No defect is coded, a camera saw it, and groundwater never reaches it."""
    real = [d for d in case.connection.defects if d.code not in NOT_DEFECTS]
    gap = case.note.gap if case.note else None
    if real or gap or case.head is None or case.head > 0.0 or not case.coded:
        return None
    return "no defect is coded and groundwater never reaches it"


def cut_open(case: Case) -> str | None:
    """The lateral was cut open through the liner: the edge leaks until it is sealed."""
    state = "open" if case.connection.is_open else "taken as open, not coded"
    level = "" if case.head is not None else "; the groundwater level is not known"
    return f"cut through the liner ({state}): its edge leaks until it is sealed{level}"
