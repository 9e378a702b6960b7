"""Runs and connections as a plain list declares them, without a camera having seen them."""

from dataclasses import dataclass

from teewright.findings import Place
from teewright.network.values import ConnectionKind


@dataclass(frozen=True, slots=True)
class DeclaredRun:
    """One line of a list of runs.

    Attributes:
        upstream: Upstream node.
        downstream: Downstream node.
        place: File and line.
        pipe: Pipe reference, or `""`.
        length: [m], or None.
        diameter: Nominal inner diameter [m], or None.
        material: Code or word.
        lined: Whether it is lined; None if not stated.
    """

    upstream: str
    downstream: str
    place: Place
    pipe: str = ""
    length: float | None = None
    diameter: float | None = None
    material: str = ""
    lined: bool | None = None


@dataclass(frozen=True, slots=True)
class DeclaredConnection:
    """One line of a list of connections.

    Attributes:
        upstream: Upstream node of its run.
        downstream: Downstream node of its run.
        from_node: Node from which `distance` is measured.
        distance: To the centre of the connection [m].
        place: File and line.
        pipe: Pipe reference, or `""`.
        clock: Centre, in flow view whatever `from_node` is [h], or None.
        diameter: Of the branch [m], or None.
        angle: Between the axes of main and branch [rad], or None.
        kind: How it joins.
        is_open: Open, closed, or None where not stated.
        date: As `YYYY-MM-DD`, or `""`.
        defects: Main code and characterisation of each defect.
        remark: Free text.
    """

    upstream: str
    downstream: str
    from_node: str
    distance: float
    place: Place
    pipe: str = ""
    clock: float | None = None
    diameter: float | None = None
    angle: float | None = None
    kind: ConnectionKind = ConnectionKind.UNKNOWN
    is_open: bool | None = None
    date: str = ""
    defects: tuple[tuple[str, str], ...] = ()
    remark: str = ""
