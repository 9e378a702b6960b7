import math
from dataclasses import replace

import numpy as np
import pytest

from collar_shapes import FABRIC, cutting, made, order, tee
from teewright.collar.edges import seam_line
from teewright.collar.layout_lines import LAYOUTS
from teewright.collar.offers import PIECES
from teewright.collar.values import Offer
from teewright.fabric.law import window

ORDER = order(tee(0.2, 0.1, 60.0))


def offers() -> dict[str, Offer]:
    return {offer.layout: offer for offer in made(ORDER).collar.offers}


def test_every_layout_is_told_of_and_one_is_chosen() -> None:
    collar = made(ORDER).collar
    assert tuple(o.layout for o in collar.offers) == LAYOUTS
    assert [o.layout for o in collar.offers if o.chosen] == [collar.layout]
    assert all(o.pieces == PIECES[o.layout] for o in collar.offers)


def test_what_fits_is_what_the_window_of_the_fabric_allows() -> None:
    low, high = window(FABRIC)
    for offer in offers().values():
        assert offer.allowed == pytest.approx(high / low)
        assert offer.fits == (offer.ratio <= high / low)
        assert offer.ratio > 1.0
    exact = Offer("x", 1.2, 1.2, 0.0, 1, chosen=False)
    assert exact.fits
    assert not replace(exact, ratio=1.2001).fits


def test_more_seams_need_less_stretch() -> None:
    """A layout's cuts hold those of another: it can do all that the other can, and more."""
    found = offers()
    assert found["four pieces"].ratio <= found["saddle seam"].ratio * 1.005
    assert found["mirror halves"].ratio <= found["one piece"].ratio * 1.005
    assert found["four pieces"].ratio <= found["mirror halves"].ratio
    assert found["four pieces"].seam_length > found["saddle seam"].seam_length


def test_the_seams_of_two_panels_are_saddle_and_two_closings() -> None:
    """Saddle in space by its own length, the closings along the sleeve and up the branch."""
    collar = made(ORDER).collar
    foot = collar.reach + 0.1 / math.sin(math.radians(60.0))
    heel = closing_foot(60.0)
    wanted = collar.seam_length + 0.5 + (foot - heel)
    assert offers()["saddle seam"].seam_length == pytest.approx(wanted, rel=0.01)


def closing_foot(degrees: float) -> float:
    """Height along the branch's axis at which the seam crosses the heel."""
    ways = cutting(ORDER)
    line = seam_line(ORDER.skin, ways.seam)
    lean = math.radians(degrees)
    return float(line[0] @ np.array([math.cos(lean), 0.0, math.sin(lean)]))
