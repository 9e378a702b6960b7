"""The rectangle that bounds the rings on the unrolled main, and which columns meet its corners."""

from dataclasses import dataclass

import numpy as np

from teewright.junction.edge import Edge
from teewright.junction.profile import half_round, profile_of
from teewright.junction.skin import FloatArray
from teewright.junction.values import Skin


@dataclass(frozen=True, slots=True)
class Frame:
    """The rectangle that bounds the rings on the unrolled main.

    Attributes:
        ends: Least and greatest x [m].
        sides: Arc length from the crown at its side towards -y and at that towards +y [m].
        flanks: x at which the flank columns reach these sides [m].
        closed: Whether both sides are the closing line.
    """

    ends: tuple[float, float]
    sides: tuple[float, float]
    flanks: tuple[float, float]
    closed: bool

    @property
    def corners(self) -> FloatArray:
        """From (+x, +y) by (-x, +y) to (+x, -y), shape (4, 2) [m]."""
        (x0, x1), (w0, w1) = self.ends, self.sides
        return np.array([(x1, w1), (x0, w1), (x0, w0), (x1, w0)])


def outer_frame(
    skin: Skin, edge: Edge, sleeve: tuple[float, float], *, closed: bool | None = None
) -> Frame:
    """Rectangle of the sleeve's length and of a width that gives well-shaped cells.

    As far from the opening's flanks as the sleeve's ends are from crotch and heel, or right
    round the main where little would be left.

    Args:
        skin: Surface.
        edge: Its rounded edge all round, evenly in phi between -pi and pi.
        sleeve: x from and to of the main part [m].
        closed: Whether it goes right round the main; None where its sizes decide.

    Returns:
        The rectangle.
    """
    whole = half_round(profile_of(skin.junction), -skin.inset)
    x, w = edge.main_flat.T
    low, high = int(np.argmin(w)), int(np.argmax(w))
    wide = float(w[high] - w[low])
    margin = max((sleeve[1] - x.max() + x.min() - sleeve[0]) / 2.0, 0.35 * wide)
    spare = (whole + float(w[low]), whole - float(w[high]))
    left = min(spare) - margin
    flanks = (float(x[low]), float(x[high]))
    if skin.junction.symmetric:
        # both sides alike to the last digit
        spare, flanks = (spare[1], spare[1]), (flanks[1], flanks[1])
    little = left < 0.35 * margin or left < 0.1 * whole
    if skin.junction.symmetric and little if closed is None else closed:
        # both sides are one line, so that columns must reach it at the same places
        middle = (flanks[0] + flanks[1]) / 2.0
        return Frame(sleeve, (-whole, whole), (middle, middle), closed=True)
    below, above = (whole - room + min(margin, 0.7 * room) for room in spare)
    return Frame(sleeve, (-below, above), flanks, closed=False)


def corner_columns(
    contact: FloatArray, frame: Frame, quadrants: tuple[int, ...], *, mirror: bool
) -> tuple[int, ...]:
    """Columns that run to the rectangle's corners: those that give the best cells.

    Both sides of the rectangle get the same number of columns, since they meet on the far side
    of the main.

    Args:
        contact: Contact line on the unrolled main, a place for each column, shape (n, 2) [m].
        frame: The rectangle.
        quadrants: Columns of each quadrant, two of half a mesh or four.
        mirror: Whether both sides are alike.

    Returns:
        A column in each quadrant.
    """
    starts = np.concatenate([[0], np.cumsum(quadrants)])
    ring = np.concatenate([contact, contact[:1]])
    middles = _middles(contact, frame, int(starts[2]))
    fits = [
        _fits(ring[starts[k] : starts[k + 1] + 1], middles[k : k + 2], frame.corners[k])
        for k in range(2 if mirror else 4)
    ]
    first = _best_pairs(fits[0], fits[1], quadrants[0])
    if mirror:
        best = max(first, key=lambda wide: first[wide][0])
        corners = _absolute(first[best][1], starts)
        other = tuple(int(starts[-1]) - column for column in corners[::-1])
        return corners if len(quadrants) == 2 else corners + other
    second = _best_pairs(fits[2], fits[3], quadrants[2])
    shared = [wide for wide in first if wide in second]
    best = max(shared, key=lambda wide: min(first[wide][0], second[wide][0]))
    return _absolute(first[best][1] + second[best][1], starts)


def _middles(contact: FloatArray, frame: Frame, heel: int) -> FloatArray:
    """Where crotch, flank, heel, flank and crotch reach the rectangle, shape (5, 2) [m]."""
    crotch = (frame.ends[1], contact[0, 1])
    left, right = (frame.flanks[0], frame.sides[0]), (frame.flanks[1], frame.sides[1])
    return np.array([crotch, right, (frame.ends[0], contact[heel, 1]), left, crotch])


def _fits(contact: FloatArray, middles: FloatArray, corner: FloatArray) -> FloatArray:
    """How good the worst cell of a quadrant is for each column that may run to its corner.

    The least of: sine between ray and opening, cosine between ray and the rectangle's normal,
    and the ratio of the spacings on both sides of the corner.
    """
    count = len(contact) - 1
    place = np.arange(1, count)[:, None]
    column = np.arange(count + 1)[None, :]
    before = np.minimum(column / place, 1.0)[:, :, None]
    after = np.maximum((column - place) / (count - place), 0.0)[:, :, None]
    legs = corner - middles[0], middles[1] - corner
    ray = middles[0] + before * legs[0] + after * legs[1] - contact
    length = np.maximum(np.hypot(ray[..., 0], ray[..., 1]), 1e-12)
    tangent = np.diff(contact, axis=0)
    tangent /= np.hypot(*tangent.T)[:, None]
    sines = [
        (tangent[:, 1] * ray[:, part, 0] - tangent[:, 0] * ray[:, part, 1]) / length[:, part]
        for part in (slice(0, -1), slice(1, None))
    ]
    sides = [np.hypot(*leg) for leg in legs]
    outward = [np.array([leg[1], -leg[0]]) / side for leg, side in zip(legs, sides, strict=True)]
    first, second = ray @ outward[0] / length, ray @ outward[1] / length
    across = np.minimum(
        np.where(column <= place, first, np.inf), np.where(column >= place, second, np.inf)
    )
    spacing = sides[0] / place[:, 0], sides[1] / (count - place[:, 0])
    even = np.minimum(*spacing) / np.maximum(*spacing)
    worst = np.minimum(np.minimum(*sines).min(axis=1), across.min(axis=1))
    return np.asarray(np.minimum(worst, even))


def _best_pairs(
    before: FloatArray, after: FloatArray, quadrant: int
) -> dict[int, tuple[float, tuple[int, int]]]:
    """For each number of columns between two corners, the best pair and how well it fits."""
    pairs: dict[int, tuple[float, tuple[int, int]]] = {}
    worst = np.minimum(before[:, None], after[None, :])
    # of equally bad pairs the one whose other corner is better
    sums = worst + 1e-3 * (before[:, None] + after[None, :])
    rows, columns = np.indices(sums.shape)
    wide = quadrant - (rows + 1) + (columns + 1)
    for number in range(int(wide.min()), int(wide.max()) + 1):
        at = np.where(wide == number, sums, -np.inf)
        row, column = np.unravel_index(int(np.argmax(at)), at.shape)
        pairs[number] = (float(at[row, column]), (int(row) + 1, int(column) + 1))
    return pairs


def _absolute(places: tuple[int, ...], starts: FloatArray) -> tuple[int, ...]:
    return tuple(int(start) + place for start, place in zip(starts, places, strict=False))


def outer_line(
    contact: FloatArray, frame: Frame, quadrants: tuple[int, ...], corners: tuple[int, ...]
) -> FloatArray:
    """Where each column reaches the rectangle: evenly between its corners and middles.

    Args:
        contact: Contact line on the unrolled main, a place for each column, shape (n, 2) [m].
        frame: The rectangle.
        quadrants: Columns of each quadrant, two of half a mesh or four.
        corners: Column of each corner.

    Returns:
        Shape (n, 2) [m].
    """
    starts = np.concatenate([[0], np.cumsum(quadrants)])
    middles = _middles(contact, frame, int(starts[2]))
    index, place = [0], [middles[0]]
    for k, corner in enumerate(corners):
        index += [corner, int(starts[k + 1])]
        place += [frame.corners[k], middles[k + 1]]
    column, at = np.arange(len(contact)), np.array(place)
    return np.column_stack([np.interp(column, index, at[:, k]) for k in range(2)])
