"""Refuse a setup whose arrays do not fit: the compiled loops do not look."""

import math

import numpy as np

from teewright.errors import InputError
from teewright.forming.values import Cloth, FloatArray, IntArray, Setup


def check_setup(setup: Setup) -> None:
    """Check numbers and shapes.

    Args:
        setup: Cloth, load, surface and restraint.

    Raises:
        InputError: An array has another shape than the cloth asks for, names a vertex that is
            not there, or holds what is no number; the pressure is not positive or the friction
            negative.
    """
    pressure, contact = setup.load.pressure, setup.contact
    if not (pressure > 0.0 and math.isfinite(pressure)):
        raise InputError(
            "is no pressure to form with", field="pressure", value=pressure, allowed="> 0 Pa"
        )
    if contact is not None and not (contact.friction >= 0.0 and math.isfinite(contact.friction)):
        raise InputError(
            "is no coefficient of friction",
            field="friction",
            value=contact.friction,
            allowed=">= 0",
        )
    count = len(setup.start)
    _check_cloth(setup.cloth, count)
    triangles = len(setup.cloth.triangles)
    _check_array("start", setup.start, (count, 3))
    _check_array("thrust", setup.load.thrust, (count, 3))
    _check_array("free", setup.restraint.free, (count, 3))
    _check_array("spring", setup.restraint.spring, (count,))
    _check_array("grip", setup.restraint.grip, (count, 3))
    if len(setup.load.bladder):
        _check_array("bladder", setup.load.bladder, (triangles,))


def _check_cloth(cloth: Cloth, count: int) -> None:
    triangles, bars = len(cloth.triangles), len(cloth.bars)
    _check_array("triangles", cloth.triangles, (triangles, 3), below=count)
    _check_array("rest", cloth.rest, (triangles, 3, 2))
    _check_array("stiffness", cloth.stiffness, (triangles, 4))
    _check_array("bars", cloth.bars, (bars, 2), below=count)
    _check_array("bar_rest", cloth.bar_rest, (bars,))
    _check_array("bar_stiffness", cloth.bar_stiffness, (bars,))
    if bars and not cloth.bar_rest.min() > 0.0:
        raise InputError(
            "is no length", field="bar_rest", value=float(cloth.bar_rest.min()), allowed="> 0 m"
        )


def _check_array(
    name: str, array: FloatArray | IntArray, shape: tuple[int, ...], *, below: int | None = None
) -> None:
    if array.shape != shape:
        raise InputError("has the wrong shape", field=name, value=array.shape, allowed=str(shape))
    odd = array[~np.isfinite(array)]
    if len(odd):
        raise InputError(
            "stands where a number should", field=name, value=odd[0], allowed="finite numbers"
        )
    if below is not None and array.size and not (array.min() >= 0 and array.max() < below):
        raise InputError(
            "names a vertex that is not there",
            field=name,
            value=int(array.max()),
            allowed=f"0 to {below - 1}",
        )
