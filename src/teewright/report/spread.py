"""Placing labels on a line so that none lies on another and each stays near its own point."""

from collections.abc import Sequence


def spread(wanted: Sequence[float], gaps: Sequence[float]) -> list[float]:
    """Move points apart by as little as possible, in the sense of least squares.

    Pool-adjacent-violators on `wanted[i] - sum(gaps[:i])`: the nearest rising sequence.

    Args:
        wanted: Where each label would stand, rising.
        gaps: Least distance from each label to the next, one fewer than `wanted`.

    Returns:
        Places in the same order, each at least its gap after the one before.
    """
    offsets = [0.0]
    for gap in gaps:
        offsets.append(offsets[-1] + gap)
    pools: list[tuple[float, int]] = []
    for value, offset in zip(wanted, offsets, strict=False):
        mean, count = value - offset, 1
        while pools and pools[-1][0] > mean:
            other, size = pools.pop()
            mean = (mean * count + other * size) / (count + size)
            count += size
        pools.append((mean, count))
    flat = [mean for mean, count in pools for _ in range(count)]
    return [level + offset for level, offset in zip(flat, offsets, strict=False)]


def within(places: Sequence[float], gaps: Sequence[float], low: float, high: float) -> list[float]:
    """Push a spread row inside its ends, keeping the gaps while there is room.

    Args:
        places: As `spread` gives them.
        gaps: As for `spread`.
        low: Least place.
        high: Greatest place.

    Returns:
        Places from `low` to `high`, evenly spaced where the gaps do not fit.
    """
    if not places:
        return []
    if sum(gaps) > high - low:
        step = (high - low) / max(len(places) - 1, 1)
        return [low + step * k for k in range(len(places))]
    row = list(places)
    row[0] = max(row[0], low)
    for k, gap in enumerate(gaps):
        row[k + 1] = max(row[k + 1], row[k] + gap)
    row[-1] = min(row[-1], high)
    for k in range(len(gaps) - 1, -1, -1):
        row[k] = min(row[k], row[k + 1] - gaps[k])
    return row


def slots(wanted: Sequence[float], centres: Sequence[float]) -> list[int]:
    """Give each point a column of its own, in order, with the least squared distance in all.

    Args:
        wanted: Where each point stands, rising.
        centres: Centres of the columns, rising, at least as many as points.

    Returns:
        Index of the column of each point, rising.
    """
    count, room = len(wanted), len(centres)
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {}

    def place(k: int, first: int) -> tuple[float, tuple[int, ...]]:
        if k == count:
            return 0.0, ()
        if (k, first) not in best:
            options = []
            for column in range(first, room - (count - k) + 1):
                cost, rest = place(k + 1, column + 1)
                options.append((cost + (wanted[k] - centres[column]) ** 2, (column, *rest)))
            best[k, first] = min(options)
        return best[k, first]

    return list(place(0, 0)[1])
