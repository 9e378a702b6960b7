"""A collar as it was made, apart from the making: who only reads it need not load the solvers."""

from dataclasses import dataclass

from teewright.collar.values import Collar, CollarMap


@dataclass(frozen=True, slots=True)
class Made:
    """A collar and its picture.

    Attributes:
        collar: The collar.
        map: The formed collar as triangles.
    """

    collar: Collar
    map: CollarMap
