"""What the codes of EN 13508-2:2003+A1:2011 mean to the sealing of connections."""

from teewright.network.values import ConnectionKind

CONNECTION = "BCA"
"""Main code of a connection; its clock is that of its centre."""

AT_CONNECTION = frozenset(
    {
        "BAG",  # intruding connection
        "BAH",  # defective connection
        "BAI",  # intruding sealing material
        "BAK",  # defect of the lining
        "BAL",  # defective repair
        "BAO",  # soil visible
        "BAP",  # void visible
        "BBA",  # roots
        "BBB",  # attached deposits
        "BBF",  # infiltration
        "BDE",  # flow from a connection
    }
)
"""Observations that belong to a connection when they stand at one."""

GUESSED_STATION = ("station", "guessed")
"""Kept with an observation whose station could not be read, so that another stands for it."""
ABANDONED = "BDC"
FINISH = "BCE"
IGNORED = frozenset({"BCD", "BCE", "BDA", "BDB", "BDC", "BDD", "BDF", "BDG", "AEC", "AED"})
"""Start, finish, photographs, remarks, water level, air and the like: no defects of the run."""

_KINDS = {
    "A": ConnectionKind.JUNCTION,
    "B": ConnectionKind.SADDLE_DRILLED,
    "C": ConnectionKind.SADDLE_CHISELLED,
    "D": ConnectionKind.PLAIN_DRILLED,
    "E": ConnectionKind.PLAIN_CHISELLED,
    "F": ConnectionKind.OTHER,
    "Z": ConnectionKind.OTHER,
}


def kind_of(char1: str) -> ConnectionKind:
    """How a connection joins, by characterisation 1 of BCA."""
    return _KINDS.get(char1, ConnectionKind.UNKNOWN)


def open_of(char2: str) -> bool | None:
    """Whether a connection is open, by characterisation 2 of BCA; None where not coded."""
    return {"A": True, "B": False}.get(char2)
