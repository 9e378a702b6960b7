"""Kinds of work that make a connection ready for a collar."""

from enum import StrEnum


class MakeReady(StrEnum):
    """What is done before a collar can be set; the kit prices each kind."""

    RE_CUT = "re-cut"
    REMOVE_INTRUSION = "remove intrusion"
    CUT_ROOTS = "cut roots"
    DESCALE = "descale"
    FIND_OPENING = "find opening"
