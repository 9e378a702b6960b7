"""Step: what sealing each connection saves in groundwater and money, and when it pays back."""

from teewright.assess.entry import counted_flow
from teewright.assess.values import Assessment, EntryClass
from teewright.job.values import Designs
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.price.payback import payback
from teewright.price.saved import ConnectionSaving, Savings
from teewright.price.values import Quote
from teewright.price.water import WaterRates, saving


def savings_of(
    assessment: Assessment, designs: Designs, quote: Quote, kit: Kit, site: Site
) -> Savings | None:
    """What the water that is kept out is worth.

    A connection is taken to let in what it does under the highest groundwater in every hour of
    every year, and the kit's share of it once it is sealed. Flows count that are computed, or
    that the site declares for the class that the survey codes; all others are left out.

    Args:
        assessment: Flow of each connection.
        designs: Connections that are sealed.
        quote: Price of the job.
        kit: Cost of water, discount, life, and the share of the entry that is left.
        site: Flows declared for coded classes.

    Returns:
        The savings; None where the kit does not tell what water costs, or nothing is sealed.
    """
    rates, made = kit.rates, designs.designs
    if rates.water <= 0.0 or not made:
        return None
    price = quote.total / len(made)
    water = WaterRates(rates.currency, rates.water, 0.0, "the kit's rates")
    told = {EntryClass(name): flow for name, flow in site.entry_flows}
    known: list[ConnectionSaving] = []
    unknown: list[str] = []
    for design in made:
        name = design.connection_id
        entry = assessment.of(name).entry
        flow = counted_flow(entry, told).flow
        if flow is None:
            unknown.append(name)
            continue
        found = saving(flow, flow * rates.entry_left, water)
        paid = payback(price, found, discount=rates.discount, life=rates.life)
        declared = entry.coded.value if entry.flow is None else ""
        known.append(ConnectionSaving(name, found, paid, declared))
    known.sort(key=lambda one: -one.saving.yearly)
    return Savings(
        connections=tuple(known),
        not_counted=tuple(unknown),
        price=price,
        per_volume=rates.water,
        left=rates.entry_left,
        source=site.entry_source,
        moving=bool(site.water_levels),
    )
