import pytest

from teewright.web.quantities import System, quantity


@pytest.mark.parametrize(
    ("value", "unit", "metric", "us"),
    [
        # exact by definition of the inch, pound and gallon (NIST SP 811, app. B.8)
        (0.0254, "mm", "25.4 mm", "1.00 in"),
        (0.3048, "m", "0.30 m", "1.0 ft"),
        (6894.757293168361, "bar", "0.07 bar", "1.0 psi"),
        (0.45359237, "kg", "0.45 kg", "1.00 lb"),
        (3.785411784e-3, "l", "3.79 l", "1.00 gal"),
        (3.785411784e-3 / 60.0, "l/s", "0.06 l/s", "1.0 gal/min"),
        (273.15, "degC", "0 °C", "32 °F"),
        (373.15, "degC", "100 °C", "212 °F"),
        (600.0, "min", "10.0 min", "10.0 min"),
    ],
)
def test_both_systems(value: float, unit: str, metric: str, us: str) -> None:
    assert quantity(value, unit).replace("\u00a0", " ") == metric
    assert quantity(value, unit, System.US).replace("\u00a0", " ") == us


def test_decimals_can_be_chosen_and_the_unknown_is_said() -> None:
    assert quantity(0.00456, "mm", digits=2) == "4.56\u00a0mm"
    assert quantity(0.5, "deg", digits=0) == "29°"
    assert quantity(None, "mm") == "not known"
    assert quantity(-2.0, "m") == "−2.00\u00a0m"
