import math
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright import demo
from teewright.assess.make_ready import MakeReady
from teewright.errors import FileFormatError, InputError, TeewrightError
from teewright.findings import FindingKind
from teewright.formats.kit_toml import read_kit
from teewright.formats.toml_common import key_lines
from teewright.formats.toml_docs import kit_page

GOOD = demo.file(demo.KIT_FILE)


def changed(old: str, new: str, *, times: int = 1) -> bytes:
    assert old.encode() in GOOD, f"{old} is not in the kit"
    return GOOD.replace(old.encode(), new.encode(), times)


def refusal(data: bytes) -> InputError:
    with pytest.raises(InputError) as caught:
        read_kit(data, file="my kit.toml")
    return caught.value


def message(data: bytes) -> str:
    """What is said of a kit file, empty where it is read."""
    try:
        read_kit(data, file="kit.toml")
    except TeewrightError as error:
        return str(error)
    return ""


def test_units_become_si() -> None:
    kit, _ = read_kit(GOOD, file="kit.toml")
    packer = kit.packers[1]
    assert packer.main_min == pytest.approx(0.170)
    assert packer.rating == pytest.approx(2.0e5)
    assert packer.angle_min == pytest.approx(math.pi / 4)
    assert packer.bypass_diameter == pytest.approx(0.065)
    assert kit.fabric.thickness[0] == pytest.approx((0.0, 0.005))
    assert kit.fabric.stiffness_across == pytest.approx(4000.0)
    assert kit.resin.working_time[2] == pytest.approx((293.15, 1200.0))
    assert kit.resin.modulus == pytest.approx(3.0e9)
    assert kit.resin.strength == pytest.approx(55e6)
    assert kit.resin.ratio_mass == pytest.approx(0.85)
    assert kit.shifts.start == 20 * 3600
    assert kit.shifts.wet_out == 390
    assert kit.rules.pressure_margin == pytest.approx(1e4)
    assert kit.rules.soil_weight == pytest.approx(18e3)
    assert dict(kit.rates.make_ready).keys() == {kind.value for kind in MakeReady}


def test_oddities_are_findings() -> None:
    data = changed('source = "invented for the demo"', 'source = ""')
    data = data.replace(b"density_kg_m3 = 1320", b"density_kg_m3 = 1120")
    data = data.replace(b"temperature_c = 10, minutes = 22 ", b"temperature_c = 10, minutes = 25 ")
    data = data.replace(b"rating_bar = 2.5", b"rating_bar = 3.5")
    data = data.replace(b"branch_reach_mm = 200", b"branch_reach_mm = 120")
    data = data.replace(b', "Tee 400"]', b"]")
    _, findings = read_kit(data, file="kit.toml")
    assert {f.rule for f in findings} == {
        "kit-invented", "kit-source", "kit-density", "kit-times", "kit-spare-packer",
        "kit-fabric-range", "kit-branch-reach",
    }  # fmt: skip
    assert {f.kind for f in findings} == {FindingKind.NOTE, FindingKind.DOUBT}
    assert all(f.place.file == "kit.toml" for f in findings)


def test_the_demo_kit_is_only_noted() -> None:
    _, findings = read_kit(GOOD, file="kit.toml")
    assert {f.kind for f in findings} == {FindingKind.NOTE}


# old text, new text, key path in the message, words of the message
SINGLE = [
    ("rating_bar = 2.5", "rating_bar = 25", "packers[0].rating_bar", "too large"),
    ("rating_bar = 2.5", "rating_bar = -1", "packers[0].rating_bar", "number > 0 and ≤ 10 bar"),
    ("length_mm = 1050\n", "", "packers[0].length_mm", "is missing"),
    ("bladder_bar = 0.45", "bladder_br = 1", "packers[0].bladder_br", "perhaps bladder_bar"),
    ("pack_mass_kg = 3.0", 'pack_mass_kg = "3"', "resins[0].pack_mass_kg", "not a number"),
    ("count = 1\n", "count = true\n", "packers[0].bypass_count", "whole number"),
    ("count = 1\n", "count = 1.5\n", "packers[0].bypass_count", "whole number"),
    ("void_fraction = 0.85", "void_fraction = 1.0", "fabrics[0].void_fraction", "< 1"),
    ("void_fraction = 0.85", "void_fraction = nan", "fabrics[0].void_fraction", "finite"),
    ("void_fraction = 0.85", "void_fraction = inf", "fabrics[0].void_fraction", "finite"),
    ("void_fraction = 0.85", "void_fraction = true", "fabrics[0].void_fraction", "number"),
    ("stretch_along = 1.25", "stretch_along = 1.0", "largest_stretch_along", "> 1"),
    ('start = "20:00"', 'start = "24:00"', "shifts.start", "such as 20:00"),
    ('start = "20:00"', "start = 20:00:00", "shifts.start", "text in quotes"),
    ('currency = "EUR"', 'currency = "euro"', "rates.currency", "such as EUR"),
    ('name = "Tee 150"', 'name = "Tee #1"', "packers[0].name", "no #"),
    ('name = "Tee 150"', 'name = ""', "packers[0].name", "1 to 60"),
    ("angle_min_deg = 45", "angle_min_deg = 20", "packers[0].angle_min_deg", "≥ 30"),
    ("[shifts]", "[shift]", "shift", "not a key"),
    ('["Tee 200", "Tee 300", "Tee 400"]', "[]", "crews[1].packers", "at least 1"),
    ("poisson = 0.3", "poisson = 0.5", "rules.poisson", "< 0.5"),
]


@pytest.mark.parametrize(("old", "new", "path", "words"), SINGLE)
def test_a_bad_value_is_named(old: str, new: str, path: str, words: str) -> None:
    message = str(refusal(changed(old, new)))
    assert message.startswith("my kit.toml")
    assert path in message
    assert words in message
    assert "\n" not in message


CONTRADICTIONS = [
    ('name = "Tee 200"', 'name = "Tee 150"', "packers[1].name", "there twice"),
    ('"Tee 150", "Tee 200", "Tee 300"]', '"Tee 99"]', "crews[0].packers[0]", "not a packer"),
    ('["Tee 200", "Tee 300", "Tee 400"]', '["Tee 150"]', "crews[1].packers[0]", "1 in all"),
    ('fabric = "Felt 5"', 'fabric = "Felt 6"', "rules.fabric", "Felt 5, Knit 4"),
    ('resin = "Quick 20"', 'resin = "Quick"', "rules.resin", "Quick 20, Slow 45"),
    ("stretch = 1.04", "stretch = 1.26", "rules.stretch", "from 1 to 1.25"),
    ('"descale" = 110', '"descaling" = 110', "descaling", "cut roots, descale"),
    ('"descale" = 110\n', "", "rates.make_ready", "no price for descale"),
    ("main_max_mm = 165", "main_max_mm = 120", "packers[0].main_max_mm", "≥ 128 mm"),
    ("angle_max_deg = 90", "angle_max_deg = 40", "packers[0].angle_max_deg", "≥ 45 °"),
    ("sleeve_mm = 340", "sleeve_mm = 1340", "packers[0].length_mm", "≥ 1340 mm"),
    ("bladder_bar = 0.45", "bladder_bar = 3", "packers[0].rating_bar", "≥ 3 bar"),
    ("bypass_mm = 50", "bypass_mm = 0", "packers[0].bypass_mm", "> 0 mm"),
    ("pressure_bar = 0.0", "pressure_bar = 0.1", "thickness[0].pressure_bar", "first point"),
    ("pressure_bar = 0.6", "pressure_bar = 0.3", "thickness[2].pressure_bar", "> 0.3 bar"),
    ("thickness_mm = 4.5", "thickness_mm = 4.8", "thickness[2].thickness_mm", "≤ 4.7 mm"),
    ("temperature_c = 20, minutes = 20", "temperature_c = 5, minutes = 20",
     "resins[0].working_time[2].temperature_c", "> 10 °C"),
    ("temperature_c = 20, minutes = 60", "temperature_c = 20, minutes = 20",
     "resins[0].release_time[2].minutes", "> 20 min"),
    ("soil_saturated_kn_m3 = 20", "soil_saturated_kn_m3 = 17", "soil_saturated_kn_m3", "≥ 18"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "path", "words"), CONTRADICTIONS)
def test_values_that_contradict_each_other_are_named(
    old: str, new: str, path: str, words: str
) -> None:
    message = str(refusal(changed(old, new)))
    assert path in message
    assert words in message


@pytest.mark.parametrize("case", [*SINGLE, *CONTRADICTIONS])
def test_the_line_is_that_of_the_key_or_of_its_table(case: tuple[str, str, str, str]) -> None:
    data = changed(case[0], case[1])
    error = refusal(data)
    text = data.decode().splitlines()
    if error.line is None:
        assert "is missing" in str(error)
        return
    keys = re.findall(r"[a-z_]+", error.field or str(error).split(": ", 1)[1])
    said = text[error.line - 1]
    assert any(key in said for key in keys if len(key) > 3) or "{" in said


def test_several_faults_are_counted() -> None:
    data = changed("rating_bar = 2.5", "rating_bar = 25").replace(b"mass_kg = 16", b"mass_kg = 0")
    assert "(and 1 more)" in str(refusal(data))


def test_syntax_errors_name_their_line() -> None:
    error = refusal(changed("[rates]", "[rates"))
    assert isinstance(error, FileFormatError)
    lines = GOOD.decode().splitlines()
    assert error.line == lines.index("[rates]") + 1


@pytest.mark.parametrize(
    "data",
    [
        GOOD[:200] + b"\xff" + GOOD[200:],
        "title = 'ü'".encode("utf-16"),
        b"title = \x00",
        b"a = [" * 5000,
        b"roll = " + b"9" * 5000,
        b"#" * 1_100_000,
        b"title = 'open",
    ],
)
def test_what_is_not_toml_is_refused(data: bytes) -> None:
    assert isinstance(refusal(data), FileFormatError)


def test_a_byte_order_mark_is_no_harm() -> None:
    assert read_kit(b"\xef\xbb\xbf" + GOOD, file="kit.toml") == read_kit(GOOD, file="kit.toml")


def test_an_empty_file_lacks_its_keys() -> None:
    assert "title is missing" in str(refusal(b""))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(GOOD) - 1), st.binary(max_size=6))
def test_any_damage_ends_in_a_kit_or_in_one_clear_sentence(at: int, new: bytes) -> None:
    damaged = GOOD[:at] + new + GOOD[at + 3 :]
    said = message(damaged)
    assert said == "" or said.startswith("kit.toml")
    assert len(said) < 1000


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=200))
def test_random_bytes_are_refused(data: bytes) -> None:
    assert refusal(data).file == "my kit.toml"


def test_lines_of_keys() -> None:
    text = 'a = 1\n[[b]]\nc = [\n  { d = 1 },\n  { d = 2 },\n]\n[[b]]\n"e f" = 2\n[g.h]\ni = 3\n'
    assert key_lines(text) == {
        ("a",): 1, ("b", 0): 2, ("b", 0, "c"): 3, ("b", 0, "c", 0): 4, ("b", 0, "c", 1): 5,
        ("b", 1): 7, ("b", 1, "e f"): 8, ("g", "h"): 9, ("g", "h", "i"): 10,
    }  # fmt: skip


def test_the_page_of_keys_is_current() -> None:
    page = Path(__file__).parents[3] / "docs" / "kit.md"
    assert page.read_text(encoding="utf-8") == kit_page(), "run: python docs/make_pages.py"


def test_the_page_names_every_key_of_the_demo_kit() -> None:
    page = kit_page()
    keys = set(re.findall(r"^([a-z_0-9]+) =", GOOD.decode(), flags=re.MULTILINE))
    assert {key for key in keys if f"`{key}`" not in page} == set()
