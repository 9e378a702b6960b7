import pytest

from teewright.errors import InputError, RangeError
from teewright.units import SHOWN
from teewright.wall.tightness import TightLength, tight_check

FLANGE = TightLength(place="flange, upstream", provided=0.1, needed=0.075, evidence="trial 7")
BRANCH = TightLength(place="branch", provided=0.15, needed=0.05, evidence="client's rule 3.2")


def test_the_way_that_is_used_most_governs() -> None:
    found = tight_check((BRANCH, FLANGE), 3.0)
    assert found.governing == "flange, upstream"
    assert found.utilisation == pytest.approx(0.75)
    assert not any("shorter" in note for note in found.notes)


def test_what_is_needed_is_worth_what_it_rests_on() -> None:
    found = tight_check((FLANGE, BRANCH), 3.0)
    assert any("trial 7" in note and "client's rule 3.2" in note for note in found.notes)
    assert any(row.source == "trial 7" and row.symbol == "L_n" for row in found.trace)
    assert found.notes[-1].endswith("qualified engineer under the local code.")
    with pytest.raises(InputError, match="no evidence"):
        tight_check((TightLength(place="x", provided=0.1, needed=0.1, evidence="  "),), 3.0)


def test_a_short_seal_is_told() -> None:
    short = TightLength(place="branch", provided=0.04, needed=0.05, evidence="trial")
    found = tight_check((FLANGE, short), 3.0)
    assert found.utilisation == pytest.approx(1.25)
    assert any("branch of 40 mm is shorter than the 50 mm" in note for note in found.notes)


def test_the_gradient_is_told_and_not_judged() -> None:
    gradient = next(row for row in tight_check((FLANGE,), 3.0).trace if row.symbol == "i")
    assert gradient.value == pytest.approx(30.0)
    assert next(r for r in tight_check((FLANGE,), -1.0).trace if r.symbol == "i").value == 0.0
    assert tight_check((FLANGE,), 30.0).utilisation == tight_check((FLANGE,), 0.0).utilisation
    assert all(row.shown_in in SHOWN for row in tight_check((FLANGE,), 3.0).trace)


def test_what_is_no_seal_is_refused() -> None:
    with pytest.raises(InputError, match="no place"):
        tight_check((), 3.0)
    with pytest.raises(RangeError, match="length of seal"):
        tight_check((TightLength(place="x", provided=0.0, needed=0.1, evidence="t"),), 3.0)
    with pytest.raises(RangeError, match="groundwater"):
        tight_check((FLANGE,), 60.0)
