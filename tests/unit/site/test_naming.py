import pytest

from teewright.errors import InputError
from teewright.site.naming import installation_id, split_installation


def test_there_and_back() -> None:
    assert installation_id("A#1-B/03", 2) == "A#1-B/03#2"
    assert split_installation("A#1-B/03#2") == ("A#1-B/03", 2)


@pytest.mark.parametrize("name", ["", "A-B/01", "A-B/01#", "#1", "A#0", "A#01", "A#-1", "A#²"])
def test_names_no_installation(name: str) -> None:
    with pytest.raises(InputError, match="installation"):
        split_installation(name)


def test_attempts_count_from_1() -> None:
    with pytest.raises(InputError):
        installation_id("A", 0)
