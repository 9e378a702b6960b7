"""From where to where the camera went: nodes, start and direction of an inspection header."""

from dataclasses import dataclass

from teewright.findings import FindingKind
from teewright.formats.text import FindingLog
from teewright.network.values import Direction

_DIRECTIONS = {
    "A": Direction.WITH,
    "B": Direction.AGAINST,
    "C": Direction.UNKNOWN,
    "D": Direction.WITH,  # downstream
    "O": Direction.WITH,  # "oben": from the upper end
    "I": Direction.WITH,  # "in": with the flow
    "U": Direction.AGAINST,  # upstream, or "unten": from the lower end
    "G": Direction.AGAINST,  # "gegen": against the flow
    "": Direction.UNKNOWN,
}
_OTHER_LETTERS = frozenset("DUOIG")
"""Of other codings, read with a finding."""


@dataclass(frozen=True, slots=True)
class Way:
    """The way of the camera.

    Attributes:
        nodes: Both nodes in the order of the file.
        start: Where the camera started.
        direction: Direction of travel.
    """

    nodes: tuple[str, str]
    start: str
    direction: Direction

    @property
    def far(self) -> str:
        """The node towards which the camera went."""
        return self.nodes[1] if self.start == self.nodes[0] else self.nodes[0]

    @property
    def upstream(self) -> str:
        """Upstream node, or `""` where the direction is not known."""
        if self.direction is Direction.UNKNOWN:
            return ""
        return self.start if self.direction is Direction.WITH else self.far

    @property
    def downstream(self) -> str:
        """Downstream node, or `""` where the direction is not known."""
        if self.direction is Direction.UNKNOWN:
            return ""
        return self.far if self.direction is Direction.WITH else self.start


def find_way(
    fields: dict[str, str], *, pipe: str, seen_at_start: str, line: int, log: FindingLog
) -> Way:
    """The way of the camera from the header fields AAB, AAD, AAF and AAK.

    Upstream is the start node where AAK = A and the other one where AAK = B; which of AAD and
    AAF is upstream is not fixed in practice and says nothing.

    Args:
        fields: Header fields by code.
        pipe: Pipe reference, to name a node that the header does not name.
        seen_at_start: Node that the observation BCD names, or `""`.
        line: Line of the header.
        log: Where guesses are noted.
    """
    direction = _direction(fields.get("AAK", ""), line, log)
    stated, first, second = (fields.get(code, "") for code in ("AAB", "AAD", "AAF"))
    if first and second:
        if first == second:
            told = "both nodes of the pipe have one name: a loop, or a slip of the pen"
            log.add(FindingKind.DOUBT, "same-node", told, line=line, field="AAF", value=second)
        start = _start(stated, (first, second), seen_at_start, line, log)
        return Way((first, second), start, direction)
    return _partly_named(stated, first or second, pipe, direction, line=line, log=log)


def _direction(text: str, line: int, log: FindingLog) -> Direction:
    letter = text.strip().upper()
    if letter not in _DIRECTIONS:
        told = "AAK (direction) is not A, B or C: taken as not known"
        log.add(FindingKind.DOUBT, "direction", told, line=line, field="AAK", value=text)
        return Direction.UNKNOWN
    if letter in _OTHER_LETTERS:
        told = f"AAK (direction) = {letter} read as {_DIRECTIONS[letter]}"
        log.add(FindingKind.REPAIRED, "direction", told, line=line, field="AAK", value=text)
    return _DIRECTIONS[letter]


def _start(stated: str, nodes: tuple[str, str], seen: str, line: int, log: FindingLog) -> str:
    if stated in nodes:
        return stated
    alike = [node for node in nodes if stated and _plain(node) == _plain(stated)]
    if len(alike) == 1:
        text = f"AAB (start node) is spelled unlike node {alike[0]}, which was taken"
        log.add(FindingKind.REPAIRED, "start-node", text, line=line, field="AAB", value=stated)
        return alike[0]
    guess, why = (seen, "which BCD names") if seen in nodes else (nodes[0], "the first one")
    what = "is neither node of the pipe" if stated else "is missing"
    text = f"AAB (start node) {what}: {guess} taken, {why}"
    log.add(FindingKind.GUESSED, "start-node", text, line=line, field="AAB", value=stated)
    return guess


def _plain(node: str) -> str:
    return "".join(node.split()).casefold().lstrip("0")


def _partly_named(
    stated: str, known: str, pipe: str, direction: Direction, *, line: int, log: FindingLog
) -> Way:
    """Stand-in names for the nodes that the header does not name."""
    if stated and known and _plain(stated) != _plain(known):
        told = f"the header names one node besides the start node: taken as the far end, {known}"
        log.add(FindingKind.NOTE, "node-missing", told, line=line, field="AAD")
        return Way((stated, known), stated, direction)
    start_is_low = direction is Direction.AGAINST
    ends = (f"{pipe} upper end", f"{pipe} lower end")
    start, far = (ends[1], ends[0]) if start_is_low else ends
    start = stated or known or start
    told = f"the header does not name both nodes: {start} and {far} taken"
    log.add(FindingKind.GUESSED, "node-missing", told, line=line, field="AAD", value=known)
    nodes = (far, start) if start_is_low else (start, far)
    return Way(nodes, start, direction)
