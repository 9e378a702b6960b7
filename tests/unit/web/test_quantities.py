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
        (0.3048, "m/s", "0.30 m/s", "1.00 ft/s"),
        (6894.757293168361, "kPa", "6.9 kPa", "1.0 psi"),
        (6894.757293168361, "mbar", "68.9 mbar", "1.000 psi"),
        (4448.2216152605, "kN", "4.4 kN", "1000 lbf"),
        (4448.2216152605 / 25.4, "kN/m", "0.2 kN/m", "1.0 lbf/in"),
        (1355.8179483314004, "kJ", "1.4 kJ", "1000 ft·lbf"),
        (2326.0, "kJ/kg", "2 kJ/kg", "1 Btu/lb"),
        # 62.43 lb/ft3 and 62.43 lbf/ft3: water at 1000 kg/m3 under standard gravity, 9.80665 m/s2
        (1000.0, "kg/m3", "1000 kg/m³", "62.4 lb/ft³"),
        (9806.65, "kN/m3", "9.8 kN/m³", "62.4 lbf/ft³"),
        (3.785411784e-3 / 31557600.0, "m3/a", "0 m³/a", "1 gal/a"),
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
