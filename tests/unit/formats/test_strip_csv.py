import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import FileFormatError, InputError, TeewrightError
from teewright.fabric.fit import fit_strips
from teewright.fabric.law import FabricLaw
from teewright.fabric.values import Direction, FabricFit
from teewright.findings import FindingKind
from teewright.formats.strip_csv import (
    STRIP_TEMPLATE,
    THICKNESS_TEMPLATE,
    read_strips,
    read_thickness,
)

HEAD = "specimen;direction;width_mm;gauge_mm;force_n;extension_mm;stretched_width_mm"
STRIPS = f"""# a comment
{HEAD}
A;along;50;200;0;0;50
A;along;50;200;35,5;10;49,3
B;across;50;200;20;10;
C;45;50;200;25;10;
"""
THICKNESS = "pressure_kpa,thickness_mm\n0,5.00\n100,4.3\n"


def strips(old: str = "", new: str = "") -> bytes:
    assert old in STRIPS
    return STRIPS.replace(old, new, 1).encode() if old else STRIPS.encode()


def refusal(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read_strips(data, file="strips.csv")
    return str(caught.value)


def fitted(data: bytes) -> tuple[FabricFit | None, str]:
    """The fit of a file, or what is said of it."""
    try:
        return fit_strips(read_strips(data, file="s.csv")[0]), ""
    except TeewrightError as error:
        return None, str(error)


def test_strips_in_si_units() -> None:
    readings, findings = read_strips(strips(), file="strips.csv")
    assert findings == ()
    assert [r.direction for r in readings] == [
        Direction.ALONG, Direction.ALONG, Direction.ACROSS, Direction.BIAS,
    ]  # fmt: skip
    second = readings[1]
    assert second.specimen == "A"
    assert (second.width, second.gauge, second.force) == pytest.approx((0.05, 0.2, 35.5))
    assert (second.extension, second.stretched_width) == pytest.approx((0.01, 0.0493))
    assert readings[2].stretched_width is None


def test_points_commas_and_other_names() -> None:
    text = "strip,cut,width_mm,gauge_length_mm,force_n,extension_mm\nA,Along,50,200,35.5,10\n"
    readings, findings = read_strips(text.encode(), file="s.csv")
    assert readings[0].force == 35.5
    assert findings == ()


def test_without_names_a_direction_is_one_strip() -> None:
    text = "direction;width_mm;gauge_mm;force_n;extension_mm\nalong;50;200;0;0\nalong;50;200;9;5\n"
    readings, findings = read_strips(text.encode(), file="s.csv")
    assert {r.specimen for r in readings} == {"1"}
    assert [(f.kind, f.rule) for f in findings] == [(FindingKind.ASSUMED, "strips-not-named")]


def test_a_column_that_is_not_used_is_told() -> None:
    data = strips().replace(b"stretched_width_mm", b"remark", 1)
    readings, findings = read_strips(data, file="s.csv")
    assert readings[0].stretched_width is None
    assert [f.rule for f in findings] == ["column-not-used"]


def test_an_extension_in_metres_is_doubted() -> None:
    data = strips().replace(b";10;", b";0,01;")
    _, findings = read_strips(data, file="s.csv")
    assert {f.rule for f in findings} == {"strip-extension"}
    assert all(f.place.field == "extension_mm" for f in findings)


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("A;along;50;200;35,5", "A;upwards;50;200;35,5", 4, "direction = 'upwards'"),
        ("A;along;50;200;35,5", "A;;50;200;35,5", 4, "direction"),
        ("A;along;50;200;35,5", "A;along;50;200;", 4, "force_n"),
        ("A;along;50;200;35,5", "A;along;50;200;much", 4, "force_n = 'much'"),
        ("A;along;50;200;35,5", "A;along;50;200;-3", 4, "force_n = '-3'"),
        ("A;along;50;200;35,5", "A;along;50;200;35500", 4, "force_n = '35500'"),
        ("A;along;50;200;35,5", "A;along;50;210;35,5", 4, "gauge_mm = '210'"),
        ("A;along;50;200;35,5", "A;along;51;200;35,5", 4, "width_mm = '51'"),
        ("A;along;50;200;0;0;50", "A;along;0,05;0,2;0;0;0,05", 3, "width_mm = '0,05'"),
        ("A;along;50;200;35,5;10;", "A;along;50;200;35,5;1000;", 4, "extension_mm = '1000'"),
        ("10;49,3", "10;4,93", 4, "stretched_width_mm = '4,93'"),
        ("10;49,3", "10;493", 4, "stretched_width_mm = '493'"),
    ],
)
def test_a_value_that_cannot_be_is_refused_in_one_sentence(
    old: str, new: str, line: int, words: str
) -> None:
    text = refusal(strips(old, new))
    assert text.startswith(f"strips.csv, line {line}: ")
    assert words in text
    assert "; allowed: " in text
    assert "\n" not in text


def test_a_column_without_its_unit_is_named() -> None:
    assert "has no column width_mm" in refusal(strips("width_mm", "width"))
    assert "has no column force_n" in refusal(strips("force_n", "force_kn"))


@pytest.mark.parametrize("data", [b"", b"\0\0", b"# only a comment\n"])
def test_what_is_no_table_is_refused(data: bytes) -> None:
    for read in (read_strips, read_thickness):
        with pytest.raises(FileFormatError):
            read(data, file="x.csv")


def test_thickness_in_si_units() -> None:
    readings, findings = read_thickness(THICKNESS.encode(), file="t.csv")
    assert [r.pressure for r in readings] == pytest.approx([0.0, 1e5])
    assert [r.thickness for r in readings] == pytest.approx([0.005, 0.0043])
    assert findings == ()


def test_thickness_in_bar() -> None:
    text = THICKNESS.replace("pressure_kpa", "pressure_bar").replace("100,", "1,")
    readings, _ = read_thickness(text.encode(), file="t.csv")
    assert readings[1].pressure == pytest.approx(1e5)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("100,4.3", "100,4300", "thickness_mm = '4300' is out of range; allowed: 0.1 to 30"),
        ("100,4.3", "100,0.0043", "thickness_mm = '0.0043'"),
        ("100,4.3", "100000,4.3", "pressure_kpa = '100000' is out of range; allowed: 0 to 1000"),
        ("100,4.3", "100,", "thickness_mm"),
        ("pressure_kpa", "pressure", "has no column pressure_kpa"),
    ],
)
def test_thickness_that_cannot_be_is_refused(old: str, new: str, words: str) -> None:
    with pytest.raises(InputError, match=re.escape(words)):
        read_thickness(THICKNESS.replace(old, new).encode(), file="t.csv")


def test_two_units_of_pressure_are_refused() -> None:
    text = "pressure_kpa,pressure_bar,thickness_mm\n100,1,4\n"
    with pytest.raises(FileFormatError, match="both"):
        read_thickness(text.encode(), file="t.csv")


def test_the_templates_are_read_and_say_that_they_are_empty() -> None:
    with pytest.raises(FileFormatError, match="holds no reading"):
        read_strips(STRIP_TEMPLATE.encode(), file="s.csv")
    with pytest.raises(FileFormatError, match="holds no reading"):
        read_thickness(THICKNESS_TEMPLATE.encode(), file="t.csv")


def test_a_filled_template_is_read() -> None:
    readings, findings = read_strips(
        (STRIP_TEMPLATE + "A;along;50;200;9;5;49\n").encode(), file="s"
    )
    assert len(readings) == 1
    assert findings == ()
    pressed, _ = read_thickness((THICKNESS_TEMPLATE + "A;10;4,8\n").encode(), file="t")
    assert pressed[0].thickness == pytest.approx(0.0048)


@given(st.lists(st.tuples(st.integers(0, len(STRIPS) - 1), st.binary(max_size=3)), max_size=6))
@settings(max_examples=60)
def test_any_damage_ends_in_a_fit_or_in_one_sentence(cuts: list[tuple[int, bytes]]) -> None:
    data = STRIPS.encode()
    for place, new in cuts:
        data = data[:place] + new + data[place + 1 :]
    _, said = fitted(data)
    assert "\n" not in said


READING = st.tuples(
    st.sampled_from(["along", "across", "bias"]),
    st.sampled_from("AB"),
    st.floats(0.0, 1e4),
    st.floats(-4.0, 400.0),
    st.floats(10.0, 60.0),
)


@given(st.lists(READING, min_size=1, max_size=12))
@settings(max_examples=60)
def test_any_plausible_readings_end_in_a_stable_law_or_in_one_sentence(
    rows: list[tuple[str, str, float, float, float]],
) -> None:
    lines = (
        f"{name};{cut};50;200;{force:.4f};{extension:.4f};{narrow:.4f}".replace(".", ",")
        for cut, name, force, extension, narrow in rows
    )
    fit, said = fitted("\n".join([HEAD, *lines]).encode())
    assert (fit is None) == bool(said)
    if fit is None:
        return
    law = FabricLaw(fit.stiffness_across, fit.stiffness_along, fit.poisson, fit.shear)
    assert law.stiffness_at(0.8) > 0.0
    assert min(fit.stretch_along, fit.stretch_across) > 1.0
