"""A try as it stands in an address or a form: degrees and millimetres, what is known left out."""

import math
from collections.abc import Mapping
from urllib.parse import quote, urlencode

from teewright.errors import InputError
from teewright.units import MM
from teewright.web.collar_sliders import ALONG_MOST, ROUND_MOST, place_sliders, sliders
from teewright.web.trying import Bench, Wish

FIELDS = ("angle", "main", "branch", "fillet", "along", "round")
_SPAN: dict[str, tuple[float, float]] = {
    "angle": (0.0, 180.0),
    "main": (1.0, 5000.0),
    "branch": (1.0, 5000.0),
    "fillet": (0.0, 500.0),
    "along": (-ALONG_MOST, ALONG_MOST),
    "round": (-ROUND_MOST, ROUND_MOST),
}
"""What may be asked at all [deg], [mm]; whether it can be made is answered, not refused."""


def wish_of(given: Mapping[str, str], bench: Bench) -> Wish:
    """A try from the fields of a form or an address; what stands as it is known is left out.

    Args:
        given: Fields by name; more than these are passed over.
        bench: The connection.

    Raises:
        InputError: A field is no number, or far out of range.
    """
    numbers = {name: _number(name, given[name]) for name in FIELDS if given.get(name)}
    known = {s.name: s.known for s in (*sliders(bench, Wish()), *place_sliders(Wish()))}
    tried = {name: value for name, value in numbers.items() if value != known[name]}
    return Wish(
        angle=_radians(tried.get("angle")),
        main=_metres(tried.get("main")),
        branch=_metres(tried.get("branch")),
        fillet=_metres(tried.get("fillet")),
        along=tried.get("along", 0.0) * MM,
        round=math.radians(tried.get("round", 0.0)),
        keep=given.get("keep", "") == "yes",
    )


def fields_of(wish: Wish) -> dict[str, str]:
    """The fields of a try."""
    sizes = {
        "angle": None if wish.angle is None else math.degrees(wish.angle),
        "main": None if wish.main is None else wish.main / MM,
        "branch": None if wish.branch is None else wish.branch / MM,
        "fillet": None if wish.fillet is None else wish.fillet / MM,
        "along": wish.along / MM or None,
        "round": math.degrees(wish.round) or None,
    }
    found = {name: f"{value:.6g}" for name, value in sizes.items() if value is not None}
    return {**found, "keep": "yes"} if wish.keep else found


def address_of(connection_id: str, wish: Wish) -> str:
    """The page of a connection with a try on it."""
    query = urlencode(fields_of(wish))
    return f"/collars/{quote(connection_id)}" + (f"?{query}" if query else "")


def _number(name: str, given: str) -> float:
    low, high = _SPAN[name]
    allowed = f"{low:g} to {high:g} {'degrees' if name in {'angle', 'round'} else 'mm'}"
    try:
        value = float(given)
    except ValueError as error:
        raise InputError("is no number", field=name, value=given, allowed=allowed) from error
    if not low <= value <= high:
        raise InputError("is out of range", field=name, value=given, allowed=allowed)
    return value


def _radians(value: float | None) -> float | None:
    return None if value is None else math.radians(value)


def _metres(value: float | None) -> float | None:
    return None if value is None else value * MM
