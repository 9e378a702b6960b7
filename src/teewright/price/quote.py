"""The quotation: quantities times rates."""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from teewright.errors import InputError, UnknownNameError
from teewright.kit.values import Fabric, Rates, Resin
from teewright.price.quantities import Quantities
from teewright.price.values import Quote, QuoteLine

_CENT = Decimal("0.01")


def money(amount: float | Decimal) -> float:
    """An amount rounded to hundredths, halves up, so that printed lines add up."""
    exact = amount if isinstance(amount, Decimal) else Decimal(repr(amount))
    return float(exact.quantize(_CENT, ROUND_HALF_UP))


def product(quantity: float, rate: float) -> float:
    """Quantity times rate of the decimals as printed, rounded as a pocket calculator shows it."""
    return money(Decimal(repr(quantity)) * Decimal(repr(rate)))


def quote(quantities: Quantities, *, rates: Rates, fabric: Fabric, resin: Resin) -> Quote:
    """Price a job.

    Areas and masses are rounded to hundredths before they are priced and each sum after it,
    so that the printed page can be checked with a pocket calculator. Lines of quantity 0 are
    left out.

    Args:
        quantities: What the job takes.
        rates: Prices of work.
        fabric: Fabric used, with its price.
        resin: Resin used, with its price.

    Returns:
        The quotation. `if_open_sealed` adds for each connection still to be looked at the
        average cost of a seal of this job (collar, fabric, resin, shifts, test, with
        overhead); without any seal there is no average and it equals `total`.

    Raises:
        InputError: A quantity or a rate that is negative or no number.
        UnknownNameError: A kind of make-ready work that has no rate.
    """
    counted = quantities.checked()
    share = money_rate("overhead", rates.overhead)
    sealing = tuple(_priced(_sealing(counted, rates, fabric, resin)))
    lines = (*_priced(_before(counted, rates)), *sealing, *_priced(_beside(counted, rates)))
    net = money(sum(line.sum for line in lines))
    overhead = product(net, share)
    total = money(net + overhead)
    seal = sum(line.sum for line in sealing) * (1.0 + share) / max(1, counted.collars)
    more = counted.look_agains * seal if counted.collars else 0.0
    return Quote(
        currency=rates.currency,
        lines=lines,
        net=net,
        overhead=overhead,
        total=total,
        if_open_sealed=money(total + more),
    )


def money_rate(field: str, value: float) -> float:
    """A rate as it is; `InputError` where it is negative or no number."""
    if not 0.0 <= value < float("inf"):
        raise InputError("is no rate", field=field, value=value, allowed="0 or more")
    return value


_Item = tuple[str, float, str, float, str]


def _before(counted: Quantities, rates: Rates) -> Iterator[_Item]:
    """Work that comes before the seals."""
    yield (
        "Look again",
        counted.look_agains,
        "each",
        rates.look_again,
        "connections that the survey leaves open",
    )
    prices = dict(rates.make_ready)
    for kind, count in counted.make_ready:
        if kind not in prices:
            raise UnknownNameError(
                "has no rate",
                field="make-ready work",
                value=kind,
                allowed=", ".join(prices) or "none: the kit has no such rates",
            )
        yield f"Make ready: {kind}", count, "each", prices[kind], "connections that need it"


def _sealing(counted: Quantities, rates: Rates, fabric: Fabric, resin: Resin) -> Iterator[_Item]:
    """What the seals take."""
    yield "Collar, made up", counted.collars, "each", rates.collar, "one for each seal"
    area, mass = counted.fabric_area, counted.resin_mass
    yield f"Fabric {fabric.name}", area, "m2", fabric.price, "panels and the waste of cutting"
    packs = f"{counted.resin_packs} packs, opened whole"
    yield f"Resin {resin.name}", mass, "kg", resin.price, packs
    yield "Shift of a crew", counted.shifts, "shift", rates.shift, "from the programme"
    yield "Leak test and record", counted.tests, "each", rates.test, "one for each seal"


def _beside(counted: Quantities, rates: Rates) -> Iterator[_Item]:
    """Work beside the seals."""
    yield "Close off", counted.close_offs, "each", rates.close_off, "connections out of use"


def _priced(items: Iterator[_Item]) -> Iterator[QuoteLine]:
    for item, amount, unit, rate, note in items:
        quantity = money(amount)
        if quantity > 0.0:
            yield QuoteLine(
                item=item,
                quantity=quantity,
                unit=unit,
                rate=money_rate(item, rate),
                sum=product(quantity, rate),
                note=note,
            )
