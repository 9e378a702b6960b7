"""What was made from large values, found again by the very values it was made from."""

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from threading import Lock
from typing import Any, ParamSpec, TypeVar

Asked = ParamSpec("Asked")
Made = TypeVar("Made")
SMALL = (str, int, float, frozenset)
"""Types whose values are compared."""


def kept(most: int) -> Callable[[Callable[Asked, Made]], Callable[Asked, Made]]:
    """Keep what a function made last, as `functools.lru_cache` does, without comparing values.

    Hashing a map of 20,000 triangles takes 10 ms, each time that it is asked for. Here only texts,
    numbers and sets are compared; everything else must be the same object, which is held while its
    answer is kept.

    Args:
        most: Answers that are kept, those asked for last.

    Returns:
        A decorator for functions of frozen values.
    """

    def decorated(make: Callable[Asked, Made]) -> Callable[Asked, Made]:
        lock = Lock()
        found: OrderedDict[tuple[Any, ...], tuple[tuple[Any, ...], Made]] = OrderedDict()

        @wraps(make)
        def asked(*args: Asked.args, **named: Asked.kwargs) -> Made:
            given = (*args, *(part for pair in sorted(named.items()) for part in pair))
            key = tuple(arg if isinstance(arg, SMALL) else id(arg) for arg in given)
            with lock:
                if key in found:
                    found.move_to_end(key)
                    return found[key][1]
            made = make(*args, **named)
            with lock:
                found[key] = given, made
                while len(found) > most:
                    found.popitem(last=False)
            return made

        return asked

    return decorated
