"""What a plug holds back."""

import pytest

from support import Check
from teewright.pressure.stored import plug_thrust
from teewright.units import INCH, PSI

POUND_FORCE = 4.4482216152605

CHECKS: tuple[Check, ...] = (
    Check(
        "36 in plug under 5 psi of back pressure",
        "Oregon OSHA, hazard alert on pipe plugs, January 2014",
        "'about 5000 pounds'",
        "published",
        5000.0,
        "lbf",
        100.0,
        "the source says 'about'",
        lambda: plug_thrust(5.0 * PSI, 36.0 * INCH) / POUND_FORCE,
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()
