"""Step: quantities and price."""

from collections import Counter

from teewright.assess.values import Assessment, Need
from teewright.job.values import Designs
from teewright.kit.values import Kit
from teewright.price.quantities import Quantities
from teewright.price.quote import quote
from teewright.price.values import Quote
from teewright.programme.values import Programme

CUTTING_WASTE = 0.25
"""Fabric cut away between panels, as a share of the panels [-]; common practice, no source."""


def quantities(
    assessment: Assessment, designs: Designs, programme: Programme, kit: Kit
) -> Quantities:
    """What the job takes. A collar that could be designed counts although no shift holds it."""
    made = designs.designs
    needs = Counter(v.need for v in assessment.verdicts)
    kinds = Counter(kind for v in assessment.verdicts for kind in v.make_ready)
    packs = sum(d.resin.packs for d in made)
    return Quantities(
        collars=len(made),
        fabric_area=sum(d.collar.fabric_area for d in made) * (1.0 + CUTTING_WASTE),
        resin_packs=packs,
        resin_mass=packs * kit.resin.pack_mass,
        shifts=len(programme.shifts),
        tests=len(made),
        make_ready=tuple(sorted(kinds.items())),
        close_offs=needs[Need.CLOSE_OFF],
        look_agains=needs[Need.LOOK_AGAIN],
    )


def quote_job(kit: Kit, assessment: Assessment, designs: Designs, programme: Programme) -> Quote:
    """The quotation."""
    counted = quantities(assessment, designs, programme, kit)
    return quote(counted, rates=kit.rates, fabric=kit.fabric, resin=kit.resin)
