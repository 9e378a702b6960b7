"""A collar formed off its place, apart from the forming, which loads the solvers."""

from dataclasses import dataclass

from teewright.collar.tolerance import Case
from teewright.collar.values import CollarMap, Edge, Limit, Panel


@dataclass(frozen=True, slots=True)
class Placed:
    """A collar formed off its place.

    Attributes:
        case: How packer and junction are off.
        limits: Each limit with the value found.
        edges: Free edges.
        panels: Its pieces as cut, where the flat pieces of the map lie.
        map: The formed collar as triangles.
    """

    case: Case
    limits: tuple[Limit, ...]
    edges: tuple[Edge, ...]
    panels: tuple[Panel, ...]
    map: CollarMap

    @property
    def kept(self) -> bool:
        """Whether every limit is kept."""
        return all(limit.kept for limit in self.limits)
