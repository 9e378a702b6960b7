"""The one way in which a value outside the range of a formula is refused."""

from teewright.errors import RangeError


def within(
    value: float, limits: tuple[float, float], *, quantity: str, unit: str, law: str
) -> float:
    """Hand a value back where it lies in the range of a formula.

    Args:
        value: The value [SI].
        limits: Lower and upper end, both allowed [SI].
        quantity: Name from the nomenclature.
        unit: SI unit of all three.
        law: The formula and its source.

    Returns:
        The value.

    Raises:
        RangeError: The value is outside, or not a number.
    """
    low, high = limits
    if not low <= value <= high:
        raise RangeError(quantity, value, low=low, high=high, unit=unit, law=law)
    return value
