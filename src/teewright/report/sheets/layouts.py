"""The layouts that were weighed for a pattern, and why one was taken."""

import math

from teewright.collar.values import Collar, Offer
from teewright.report import words
from teewright.report.sheets.sheet import Json

ASKED_ONLY = ("mirror halves", "one piece")
"""Layouts that are cut only where they are asked for."""


def table(collar: Collar) -> dict[str, Json]:
    """The layouts of a collar as rows, in the order in which they are tried."""
    return {"layouts": [_row(offer, collar) for offer in collar.offers]}


def _row(offer: Offer, collar: Collar) -> dict[str, Json]:
    return {
        "layout": words.capital(offer.layout),
        "pieces": str(offer.pieces),
        "ratio": words.fixed(offer.ratio, 3),
        "allowed": words.fixed(offer.allowed, 3),
        "seams": words.fixed(offer.seam_length, 2),
        "why": why(offer, collar),
        "chosen": offer.chosen,
    }


def why(offer: Offer, collar: Collar) -> str:
    """Why a layout was taken or not."""
    kept = collar.landing.kept
    if offer.chosen:
        return _taken(offer, kept=kept)
    if not math.isfinite(offer.ratio):
        return "no flat pieces were found for it"
    if not offer.fits:
        return "more stretch than the fabric allows"
    if offer.layout in ASKED_ONLY:
        return "flat it fits; cut only where asked for"
    names = [o.layout for o in collar.offers]
    before = names.index(offer.layout) < next(
        (k for k, o in enumerate(collar.offers) if o.chosen), len(names)
    )
    if kept:
        return "formed, it broke a limit" if before else "would fit; not needed"
    return "formed, it broke its limits by more"


def _taken(offer: Offer, *, kept: bool) -> str:
    if offer.layout in ASKED_ONLY:
        return "taken: it was asked for"
    return "taken: first to keep every limit" if kept else "taken: breaks its limits least"
