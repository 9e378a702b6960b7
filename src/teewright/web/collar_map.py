"""The formed collar as it is sent to a browser: what each triangle is painted, and its numbers."""

import gzip
import json
import struct
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from teewright.collar.landing import triangle_areas
from teewright.collar.values import CollarMap
from teewright.junction.skin import FloatArray
from teewright.kit.values import Fabric
from teewright.report.figures.scale import CLASSES, Scale
from teewright.report.sheets.landing_maps import (
    clipped,
    stretch_scale,
    thickness_scale,
    wrinkle_scale,
)
from teewright.web.kept import kept

MEDIA_TYPE = "application/vnd.teewright.collar-map"
MAGIC = b"TWM1"
"""First bytes; the number is that of the form."""
KEYS = ("stretch", "thickness", "wrinkle")
"""What is painted."""
_SHORT = 65_536
_PICKED = 16


@dataclass(frozen=True, slots=True, eq=False)
class Painted:
    """One quantity on all triangles.

    Attributes:
        key: One of `KEYS`.
        scale: Its colours; in the unit of the scale.
        shown: What is painted: single values at the ends of seams drawn in, in that unit.
        values: As found [SI].
        per: Values of the scale's unit to one of SI.
    """

    key: str
    scale: Scale
    shown: FloatArray
    values: FloatArray
    per: float

    @property
    def ends(self) -> tuple[float, float]:
        """Least and greatest that is painted [SI]."""
        return float(np.min(self.shown)) / self.per, float(np.max(self.shown)) / self.per


@kept(64)
def painted(found: CollarMap, fabric: Fabric | None) -> tuple[Painted, ...]:
    """All quantities in the colours of the printed sheets.

    Args:
        found: The formed collar.
        fabric: Its fabric, or None where the kit no longer has it.
    """
    points, triangles = np.array(found.points), np.array(found.triangles, dtype=np.int64)
    area = triangle_areas(points, triangles)
    raw = {
        "stretch": np.array(found.stretch),
        "thickness": np.array(found.thickness),
        "wrinkle": np.array(found.wrinkle),
    }
    stretch = clipped(raw["stretch"], area)
    thickness = 1e3 * raw["thickness"]
    wrinkle = clipped(100.0 * raw["wrinkle"], area)
    return (
        Painted("stretch", stretch_scale(stretch, fabric), stretch, raw["stretch"], 1.0),
        Painted("thickness", thickness_scale(thickness), thickness, raw["thickness"], 1e3),
        Painted("wrinkle", wrinkle_scale(wrinkle), wrinkle, raw["wrinkle"], 100.0),
    )


def bands_of(one: Painted) -> tuple[tuple[float, float, str], ...]:
    """(from, to, colour) of each class that is on the scale [SI]."""
    low, high = one.scale.span
    step = (high - low) / CLASSES
    found = []
    for k in range(CLASSES):
        a, b = max(low + step * k, one.scale.low), min(low + step * (k + 1), one.scale.high)
        if b > a:
            found.append((a / one.per, b / one.per, one.scale.colour(k)))
    return tuple(found)


@kept(32)
def packed(found: CollarMap, fabric: Fabric | None) -> bytes:
    """The map as bytes: `TWM1`, length of the head, the head as JSON, then arrays.

    All numbers are little-endian, each array begins at a multiple of four bytes. In their order:
    points (x, y, z as 32-bit floats [m]), corners of the triangles; of each quantity the values
    (32-bit floats [SI]), the classes of colour and whether it lies beyond the limit (a byte
    each); the least stretch; points along each seam; of each piece the flat points (x, y as
    32-bit floats [m]), the corners of its triangles and the number of the triangle in space that
    each is. Corners are numbers of 16 bits, or of 32 where the head says so.

    Args:
        found: The formed collar.
        fabric: Its fabric, or None.
    """
    parts = painted(found, fabric)
    index = "u2" if len(found.points) <= _SHORT else "u4"
    head = json.dumps(_head(found, parts, index), separators=(",", ":")).encode()
    head += b" " * (-len(head) % 4)
    body = b"".join(_padded(array) for array in _arrays(found, parts, index))
    return MAGIC + struct.pack("<I", len(head)) + head + body


@kept(32)
def compressed(found: CollarMap, fabric: Fabric | None) -> bytes:
    """The same, compressed with gzip.

    Args:
        found: The formed collar.
        fabric: Its fabric, or None.
    """
    return gzip.compress(packed(found, fabric), 4, mtime=0)


def _head(found: CollarMap, parts: tuple[Painted, ...], index: str) -> dict[str, object]:
    return {
        "points": len(found.points),
        "triangles": len(found.triangles),
        "index": 16 if index == "u2" else 32,
        "quantities": [
            {
                "key": one.key,
                "colours": [one.scale.colour(k) for k in range(CLASSES)],
                "least": _faces(one.shown == np.min(one.shown)),
                "greatest": _faces(one.shown == np.max(one.shown)),
            }
            for one in parts
        ],
        "seams": [len(line) for line in found.seams],
        "pieces": [
            {"name": name, "points": len(flat), "triangles": len(corners)}
            for name, flat, corners, _ in found.flats
        ],
    }


def _faces(here: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> list[int]:
    """Some of the triangles that have an extreme value: one of them may be in sight."""
    found = np.flatnonzero(here)
    picked = np.linspace(0, len(found) - 1, min(_PICKED, len(found))).round().astype(int)
    return [int(face) for face in found[picked]]


def _arrays(
    found: CollarMap, parts: tuple[Painted, ...], index: str
) -> Iterator[np.ndarray[tuple[int, ...], np.dtype[np.generic]]]:
    yield np.array(found.points, dtype="<f4")
    yield np.array(found.triangles, dtype=f"<{index}")
    for one in parts:
        yield one.values.astype("<f4")
        yield one.scale.classes(one.shown).astype("u1")
        yield one.scale.beyond(one.shown).astype("u1")
    yield np.array(found.least, dtype="<f4")
    for line in found.seams:
        yield np.array(line, dtype="<f4")
    for _, flat, corners, faces in found.flats:
        yield np.array(flat, dtype="<f4")
        yield np.array(corners, dtype=f"<{index}")
        yield np.array(faces, dtype="<u4")


def _padded(array: np.ndarray[tuple[int, ...], np.dtype[np.generic]]) -> bytes:
    data = array.tobytes()
    return data + b"\0" * (-len(data) % 4)
