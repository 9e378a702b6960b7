"""Step: what sealing each connection saves in groundwater and money, and when it pays back."""

from teewright.assess.entry import counted_flow
from teewright.assess.values import Assessment
from teewright.job.values import Designs
from teewright.kit.values import Kit
from teewright.price.payback import payback
from teewright.price.saved import ConnectionSaving, Savings
from teewright.price.values import Quote
from teewright.price.water import WaterRates, saving


def savings_of(assessment: Assessment, designs: Designs, quote: Quote, kit: Kit) -> Savings | None:
    """What the water that is kept out is worth.

    A connection is taken to let in what it does today in every hour of every year, and nothing
    once it is sealed: the head declared is that of the whole year. Only flows that are computed
    count, never those that stand for a coded class.

    Args:
        assessment: Flow of each connection.
        designs: Connections that are sealed.
        quote: Price of the job.
        kit: Cost of water, discount and life.

    Returns:
        The savings; None where the kit does not tell what water costs, or nothing is sealed.
    """
    rates, made = kit.rates, designs.designs
    if rates.water <= 0.0 or not made:
        return None
    price = quote.total / len(made)
    water = WaterRates(rates.currency, rates.water, 0.0, "the kit's rates")
    known: list[ConnectionSaving] = []
    unknown: list[str] = []
    for design in made:
        name = design.connection_id
        flow = counted_flow(assessment.of(name).entry, {}).flow
        if flow is None:
            unknown.append(name)
            continue
        found = saving(flow, 0.0, water)
        known.append(
            ConnectionSaving(
                name, found, payback(price, found, discount=rates.discount, life=rates.life)
            )
        )
    known.sort(key=lambda one: -one.saving.yearly)
    return Savings(tuple(known), tuple(unknown), price, rates.water)
