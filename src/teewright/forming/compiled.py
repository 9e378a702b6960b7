"""Compile a function of numbers and arrays to machine code, with its type kept."""

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba

Function = TypeVar("Function", bound=Callable[..., Any])

# reassociation, fused multiply-add and the like, but nan and inf keep their meaning: a state
# that has blown up must show
_LOOSE = {"nsz", "arcp", "contract", "afn", "reassoc"}


def compiled(function: Function) -> Function:
    """Return `function` compiled for one thread, kept on disk between runs.

    Args:
        function: Plain loops over numbers and arrays.

    Returns:
        The compiled function, typed as before.
    """
    return cast("Function", numba.njit(cache=True, fastmath=_LOOSE, error_model="numpy")(function))
