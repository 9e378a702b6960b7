"""A collar: flat panels, how they were found, where they land, and how far off they may be."""

from dataclasses import dataclass

from teewright.junction.values import Junction, Seam
from teewright.trace import TraceRow

Point2 = tuple[float, float]
"""A point of a flat panel [m]."""


@dataclass(frozen=True, slots=True)
class Notch:
    """A mark that must meet the mark of the same label on the other panel.

    Attributes:
        label: Same on both panels.
        point: On the seam line [m].
        normal: Unit vector from the seam line towards the cut edge.
    """

    label: str
    point: Point2
    normal: Point2


@dataclass(frozen=True, slots=True)
class Panel:
    """A flat piece of fabric. Coordinates [m], counter-clockwise rings, x across the sheet.

    Attributes:
        name: `main`, `branch`, `edge`, `left`, `right`, or one of the first three with ` left`
            (towards +y), ` right`, ` front` or ` back`.
        cut: Outer cut line, closed ring (first point not repeated).
        hole: Cut line of the opening, closed ring, or empty.
        seams: Lines along which it is sewn: (name, points) each; `saddle` goes round the
            branch, `edge` likewise where the rounded edge is a strip of its own, `closing`
            closes a pipe, `crown` lies in the plane of symmetry.
        laps: Lines to which a lap reaches, drawn dashed.
        notches: Marks.
        grain: Two points of the grain line, start and end.
        label_at: Where the label goes.
        area: Inside the cut line [m2].
    """

    name: str
    cut: tuple[Point2, ...]
    hole: tuple[Point2, ...]
    seams: tuple[tuple[str, tuple[Point2, ...]], ...]
    laps: tuple[tuple[Point2, ...], ...]
    notches: tuple[Notch, ...]
    grain: tuple[Point2, Point2]
    label_at: Point2
    area: float


@dataclass(frozen=True, slots=True)
class Offer:
    """A layout of panels and whether this fabric bears it.

    Attributes:
        layout: `saddle seam`, `four pieces`, `mirror halves`, `edge strip` or `one piece`.
        ratio: t*, largest over smallest stretch of the best flat panels found [-].
        allowed: Largest over smallest stretch that the fabric allows [-].
        seam_length: All its seams, formed [m].
        pieces: Number of pieces.
        chosen: Whether the collar is made so.
    """

    layout: str
    ratio: float
    allowed: float
    seam_length: float
    pieces: int
    chosen: bool

    @property
    def fits(self) -> bool:
        """Whether the fabric bears it."""
        return self.ratio <= self.allowed


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing that a formed collar must keep.

    Attributes:
        name: What is limited.
        value: Found on the formed collar, in `unit`.
        low: Least allowed, or None.
        high: Largest allowed, or None.
        unit: SI unit.
        helps: What would help where it is broken.
        rest: Value of a collar that nothing strains, between the limits, in `unit`.
    """

    name: str
    value: float
    low: float | None
    high: float | None
    unit: str
    helps: str
    rest: float = 0.0

    @property
    def kept(self) -> bool:
        """Whether the value lies inside."""
        above = self.low is None or self.value >= self.low
        return above and (self.high is None or self.value <= self.high)

    @property
    def margin(self) -> float:
        """Share of the way from rest to the nearer limit that is left, below 0 if broken [-]."""
        ends = [end for end in (self.low, self.high) if end is not None]
        return min(((end - self.value) / (end - self.rest) for end in ends), default=1.0)


@dataclass(frozen=True, slots=True)
class Edge:
    """A free edge of the collar after forming.

    Attributes:
        name: `upstream`, `downstream` (from the middle of the opening, along the main) or
            `branch` (from the crown, along the branch).
        wanted: Where the design wants it [m].
        least: Where it lands at the least [m].
        most: Where it lands at the most [m].
    """

    name: str
    wanted: float
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Landing:
    """The formed collar against what was designed.

    Attributes:
        pressure: On the fabric, when formed [Pa].
        pressure_landed: Least pressure on the fabric from which on the limit of the gap is kept
            [Pa]; nan if never.
        edges: Free edges.
        stretch: Least and greatest principal stretch [-].
        stretch_inner: The same, the outer hundredth of the area left out at either end [-].
        thickness: Least and greatest, the outer hundredth of the area left out [m].
        wrinkle_strain: Greatest length too much, as a share of the length [-].
        wrinkle_height: Fold that stands if the excess of 50 mm gathers in it [m].
        gap: Greatest distance of the fabric's middle from where it should lie [m].
        resin: Resin held by the formed fabric: least, mean, greatest, likewise [m3/m2].
        limits: Each limit with the value found.
        rounds: Times that the panels were corrected.
        runs: Forming runs.
        triangles: Of the mesh.
        drift: Farthest that any point moved when the pressure was raised four times as slowly:
            how certain the landing is [m]; nan where not found.
        thin: Least thickness in the main, on the rounded edge and in the branch, each with a
            hundredth of its area left out [m]; the edge counts with main and branch too. Empty
            where it was not told.
    """

    pressure: float
    pressure_landed: float
    edges: tuple[Edge, ...]
    stretch: tuple[float, float]
    stretch_inner: tuple[float, float]
    thickness: tuple[float, float]
    wrinkle_strain: float
    wrinkle_height: float
    gap: float
    resin: tuple[float, float, float]
    limits: tuple[Limit, ...]
    rounds: int
    runs: int
    triangles: int
    drift: float
    thin: tuple[float, ...] = ()

    @property
    def margin(self) -> float:
        """Least share left of all limits [-]."""
        return min((limit.margin for limit in self.limits), default=1.0)

    @property
    def kept(self) -> bool:
        """Whether every limit is kept."""
        return all(limit.kept for limit in self.limits)


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a junction and the packer's place may be off before a limit breaks.

    Attributes:
        along: Packer along the main, either way [m].
        round: Packer turned about the main, either way [rad].
        main: Diameter of the main, either way [m].
        branch: Diameter of the branch, either way [m].
        angle: Angle of the branch, either way [rad].
        fillet: Radius of the edge, either way [m].
        runs: Forming runs, all together at random inside these, that kept every limit.
        share: Share of all cases inside that keep every limit, at the least [-].
        confidence: Of that share [-].
        breaks: Name of the limit that breaks first beyond each of the six, in their order.
    """

    along: float
    round: float
    main: float
    branch: float
    angle: float
    fillet: float
    runs: int
    share: float
    confidence: float
    breaks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CollarMap:
    """The formed collar as triangles, for pictures.

    Attributes:
        points: x along the main, y across, z up, each [m].
        triangles: Vertices of each.
        stretch: Greatest principal stretch of each triangle [-].
        least: Least principal stretch of each triangle [-].
        thickness: Of each triangle [m].
        wrinkle: Margin to the wrinkle limit of each triangle, below 0 where it wrinkles [-].
        seams: Points along each seam, in space [m].
        flats: (piece, flat points [m], triangles, mesh triangle of each) of each piece.
    """

    points: tuple[tuple[float, float, float], ...]
    triangles: tuple[tuple[int, int, int], ...]
    stretch: tuple[float, ...]
    least: tuple[float, ...]
    thickness: tuple[float, ...]
    wrinkle: tuple[float, ...]
    seams: tuple[tuple[tuple[float, float, float], ...], ...]
    flats: tuple[
        tuple[str, tuple[Point2, ...], tuple[tuple[int, int, int], ...], tuple[int, ...]], ...
    ]


@dataclass(frozen=True, slots=True)
class Collar:
    """A collar for one shape of junction.

    Attributes:
        pattern: Name of the pattern, e.g. `P1`; connections may share a pattern.
        junction: The shape it is made for.
        fabric: Name of the fabric.
        layout: How it is divided into pieces.
        seam: Where the saddle seam crosses the rounded edge.
        offers: All layouts with their t*, the chosen one among them.
        window: Least and largest principal stretch of the panels' design [-].
        thickness: Installed thickness at the forming pressure [m].
        stretch: Design stretch round the pipes, formed over cut [-].
        stretch_along: Design stretch along the pipes, what the fabric lands with [-].
        sleeve_length: Along the main, formed [m].
        branch_length: Up the branch beyond the highest point of the seam, formed [m].
        reach: From the crown of the main up the branch's axis to the top, formed [m].
        panels: Pieces to cut.
        fabric_area: Of all pieces inside their cut lines, laps included [m2].
        formed_area: Of the formed mid-surface, laps not counted [m2].
        seam_length: Of the saddle seam in space, once round; 0 without one [m].
        seam_edges: Length of the saddle seam on either side of it, as drawn [m].
        designed: Least and greatest principal stretch that the flat panels were designed
            for [-].
        landing: The formed collar.
        tolerance: How far off it may be placed; None where it was not asked for.
        trace: Numbers in checking order.
    """

    pattern: str
    junction: Junction
    fabric: str
    layout: str
    seam: Seam
    offers: tuple[Offer, ...]
    window: tuple[float, float]
    thickness: float
    stretch: float
    stretch_along: float
    sleeve_length: float
    branch_length: float
    reach: float
    panels: tuple[Panel, ...]
    fabric_area: float
    formed_area: float
    seam_length: float
    seam_edges: tuple[float, float]
    designed: tuple[float, float]
    landing: Landing
    tolerance: Tolerance | None
    trace: tuple[TraceRow, ...]
