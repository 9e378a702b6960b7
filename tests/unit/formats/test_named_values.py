"""Values typed with their unit, and tables of readings."""

import pytest

from teewright.errors import FileFormatError, InputError
from teewright.formats.gauge_csv import read_gauge
from teewright.formats.named_values import QUANTITIES, named_values


@pytest.mark.parametrize(
    ("pair", "name", "value"),
    [
        ("pressure_bar=0.65", "pressure", 65_000.0),
        ("pressure_mbar=100", "pressure", 10_000.0),
        ("pressure_psi=3.5", "pressure", 24_131.65),
        ("temperature_c=14", "temperature", 287.15),
        ("volume_l=0.05", "volume", 5e-5),
        ("elapsed_min=3", "elapsed", 180.0),
        ("test_volume_l=10", "test_volume", 0.010),
        ("seal_distance_mm=1000", "seal_distance", 1.0),
        ("test_volume_gal=1", "test_volume", 231 * 0.0254**3),
        ("test_volume_ft3=1", "test_volume", 0.3048**3),
        ("seal_distance_ft=3", "seal_distance", 0.9144),
        ("seal_distance_in=36", "seal_distance", 0.9144),
    ],
)
def test_units_become_si(pair: str, name: str, value: float) -> None:
    ((found, text),) = named_values([pair])
    assert found == name
    assert float(text) == pytest.approx(value, rel=1e-6)


def test_other_names_keep_their_text() -> None:
    assert named_values(["batch= B-17 ", "gauge_no=4"]) == (("batch", "B-17"), ("gauge_no", "4"))


@pytest.mark.parametrize(
    "pair",
    [
        "x", "=3", "pressure=1", "pressure_m=1", "pressure_bar=nan", "pressure_bar=inf",
        "pressure_bar=-0.1", "pressure_bar=0,65", "temperature_c=-400", "temperature_c=1e300",
        "batch=\0", "batch=\x1b[31m", "batch=" + "x" * 501,
    ],
)  # fmt: skip
def test_what_is_no_value_is_refused(pair: str) -> None:
    with pytest.raises(InputError) as told:
        named_values([pair])
    assert told.value.allowed


def test_each_quantity_has_a_unit_of_factor_and_a_range() -> None:
    for quantity in QUANTITIES.values():
        assert quantity.low < quantity.high
        assert all(factor > 0 for factor, _ in quantity.units.values())


def test_a_table_with_either_delimiter() -> None:
    semicolon = b"elapsed_s;pressure_mbar\r\n0;100,5\r\n60;99,0\r\n"
    comma = b"\xef\xbb\xbfelapsed_s,pressure_mbar\n0,100.5\n60,99.0\n"
    found = read_gauge(semicolon, file="g.csv", common=["method=LC"])
    assert found == read_gauge(comma, file="g.csv", common=["method=LC"])
    assert [dict(row)["method"] for row in found] == ["LC", "LC"]
    assert float(dict(found[0])["pressure"]) == pytest.approx(10_050.0)


@pytest.mark.parametrize(
    ("data", "line"),
    [(b"elapsed_s;pressure_mbar\n0;100\n60;none\n", 3), (b"elapsed_s;pressure_mbar\n0;\n", 2)],
)
def test_the_line_of_a_bad_reading_is_named(data: bytes, line: int) -> None:
    with pytest.raises(InputError) as told:
        read_gauge(data, file="g.csv", common=[])
    assert (told.value.file, told.value.line) == ("g.csv", line)


@pytest.mark.parametrize("data", [b"", b"elapsed_s;pressure_mbar\n", b'a;b\n"' + b"x" * 200_000])
def test_what_is_no_table_is_refused(data: bytes) -> None:
    with pytest.raises(FileFormatError):
        read_gauge(data, file="g.csv", common=[])
