import pytest

from teewright.errors import RangeError
from teewright.pressure.stand_off import FLOOR, SLOW, blast_distance, stand_off
from teewright.pressure.stored import adiabatic_energy, isothermal_energy
from teewright.units import SHOWN


def test_distance_by_hand() -> None:
    # half a kilogram of TNT twice over is one: the scaled distance itself
    assert blast_distance(4_266_920.0 / 2.0) == pytest.approx(20.0)
    assert blast_distance(8.0 * 4_266_920.0 / 2.0) == pytest.approx(40.0)
    assert blast_distance(0.0) == 0.0


def test_the_slow_expansion_governs() -> None:
    found = stand_off(100e3, 0.05, 0.2)
    assert found.isothermal == isothermal_energy(100e3, 0.05)
    assert found.adiabatic == adiabatic_energy(100e3, 0.05)
    assert (found.energy, found.governs) == (found.isothermal, SLOW)
    assert found.blast == pytest.approx(20.0 * (2.0 * found.tnt) ** (1.0 / 3.0))
    assert found.blast < FLOOR


def test_the_caution_defers_and_says_what_it_is() -> None:
    text = stand_off(100e3, 0.05, 0.2).text
    assert "No public standard" in text
    assert "local rules" in text
    assert "flying parts" in text
    assert "30 m" in text


def test_the_thrust_on_an_end_by_hand() -> None:
    # 1 bar on 0.2 m: 100 kPa times 0.0314 m2
    assert stand_off(100e3, 0.05, 0.2).thrust == pytest.approx(3141.6, abs=0.05)


def test_nothing_stored_reaches_nowhere() -> None:
    assert stand_off(0.0, 0.05, 0.2).blast == 0.0


def test_more_than_the_rule_is_made_for_is_refused() -> None:
    with pytest.raises(RangeError, match="stored energy"):
        blast_distance(136e6)
    with pytest.raises(RangeError, match="stored energy"):
        stand_off(2e6, 100.0, 0.2)


def test_the_rows_can_be_shown() -> None:
    rows = stand_off(100e3, 0.05, 0.2).trace
    assert all(row.shown_in in SHOWN for row in rows)
    assert len({row.symbol for row in rows}) == len(rows)
