import math
import re
from dataclasses import MISSING, fields
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright import demo
from teewright.assess.make_ready import MakeReady
from teewright.errors import FileFormatError, InputError, TeewrightError
from teewright.findings import FindingKind
from teewright.formats.json_values import dump, load
from teewright.formats.kit_toml import read_kit
from teewright.formats.toml_common import key_lines
from teewright.formats.toml_docs import kit_page
from teewright.kit.values import Kit

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


def without(*keys: str) -> bytes:
    """The kit without these keys, tables in their lists taken with them."""
    text = GOOD.decode()
    for key in keys:
        text, count = re.subn(rf"^{key} = (\[\n.*?\n\]|.*?)\n", "", text, flags=re.S | re.M)
        assert count, f"{key} is not in the kit"
    return text.encode()


OPTIONAL = (
    "poisson", "stiffness_shear_kn_m", "seam_stiffness_kn", "seam_take_mm", "friction",
    "fibre_density_kg_m3", "heat_kj_kg", "time_spread", "derating", "water_per_m3", "discount",
    "life_years", "tight_length_main_mm", "tight_length_branch_mm", "tight_evidence",
    "release_chance", "freeboard_mm", "volumes_b_per_100_a", "squeezed_mm", "gel_conversion",
    "firm_conversion", "sheet_mass_kg", "liner_temperature_c", "entry_left",
)  # fmt: skip


def left_out(kit: Kit) -> list[tuple[Any, str]]:
    """Values of a kit whose class has a default: (value, name)."""
    values: tuple[Any, ...] = (*kit.fabrics, *kit.resins, *kit.packers, kit.rates, kit.rules)
    return [
        (value, field.name)
        for value in values
        for field in fields(value)
        if field.default is not MISSING
    ]


def test_a_kit_of_before_is_read_with_the_defaults_of_the_values() -> None:
    # the rules' own Poisson's ratio must be there, the fabrics' need not
    old = without(*OPTIONAL).replace(b"safety_factor", b"poisson = 0.3\nsafety_factor")
    kit, findings = read_kit(old, file="kit.toml")
    assert {f.kind for f in findings} == {FindingKind.NOTE}
    for value, name in left_out(kit):
        default = {f.name: f.default for f in fields(value)}[name]
        assert getattr(value, name) == default, f"{type(value).__name__}.{name}"
    assert len({(type(value), name) for value, name in left_out(kit)}) == 29


def test_the_demo_kit_uses_every_key_but_one() -> None:
    kit, _ = read_kit(GOOD, file="kit.toml")
    assert kit.resins[0].heat == pytest.approx(260e3)
    assert kit.resins[0].time_spread == 0.10
    assert (kit.resins[0].gel, kit.resins[0].firm, kit.resins[0].sheet_mass) == (0.58, 0.90, 0.1)
    assert kit.rules.liner_temperature == pytest.approx(333.15)
    assert kit.fabric.fibre_density == 1380.0
    assert kit.fabric.void_pressure is None
    assert [p.name for p in kit.packers if p.derating] == ["Tee 300"]
    assert kit.packers[2].derating[2] == pytest.approx((333.15, 0.8))
    assert (kit.rules.tight_length_main, kit.rules.tight_length_branch) == (0.04, 0.04)
    assert kit.rules.tight_evidence == "invented"
    assert (kit.rates.water, kit.rates.discount, kit.rates.life) == (1.2, 0.03, 50.0)


def test_a_kit_goes_through_stored_text_unchanged() -> None:
    kit, _ = read_kit(GOOD, file="kit.toml")
    assert load(dump(kit), Kit) == kit


def test_the_pressure_of_the_void_fraction() -> None:
    kit, _ = read_kit(
        changed("void_fraction = 0.85", "void_fraction = 0.85\nvoid_pressure_bar = 0.2"),
        file="kit.toml",
    )
    assert kit.fabric.void_pressure == pytest.approx(2e4)


def test_oddities_are_findings() -> None:
    data = changed('source = "invented for the demo"', 'source = ""')
    data = data.replace(b"density_kg_m3 = 1320", b"density_kg_m3 = 1120")
    data = data.replace(b"temperature_c = 10, minutes = 22 ", b"temperature_c = 10, minutes = 25 ")
    data = data.replace(b"rating_bar = 2.5", b"rating_bar = 3.5")
    data = data.replace(b"branch_reach_mm = 200", b"branch_reach_mm = 120")
    data = data.replace(b', "Tee 400"]', b"]")
    data = data.replace(b"tight_length_branch_mm = 40", b"tight_length_branch_mm = 151")
    _, findings = read_kit(data, file="kit.toml")
    assert {f.rule for f in findings} == {
        "kit-invented", "kit-source", "kit-density", "kit-times", "kit-spare-packer",
        "kit-fabric-range", "kit-branch-reach", "kit-tight-length",
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
    ("fibre_density_kg_m3 = 1380", "fibre_density_kg_m3 = -1", "fibre_density_kg_m3", "≥ 0"),
    ("heat_kj_kg = 260", "heat_kj_kg = 260000", "resins[0].heat_kj_kg", "≤ 1000 kJ/kg"),
    ("time_spread = 0.10", "time_spread = 10", "resins[0].time_spread", "≤ 0.5"),
    ("time_spread = 0.10", "time_spread = 0", "resins[0].time_spread", "> 0"),
    (
        "temperature_c = 60, share = 0.8",
        "temperature_c = 60, share = 80",
        "packers[2].derating[2].share",
        "> 0 and ≤ 1",
    ),
    (
        "temperature_c = 60, share = 0.8",
        "temp_c = 60, share = 0.8",
        "packers[2].derating[2].temp_c",
        "perhaps temperature_c",
    ),
    ("water_per_m3 = 1.2", "water_per_m3 = -1.2", "rates.water_per_m3", "currency/m³"),
    ("discount = 0.03", "discount = 3", "rates.discount", "≤ 0.5"),
    ("life_years = 50", "life_years = 0", "rates.life_years", "≥ 1 and ≤ 200 years"),
    ("release_chance = 0.95", "release_chance = 95", "rules.release_chance", "< 1"),
    ("freeboard_mm = 100", "freeboard_mm = -1", "rules.freeboard_mm", "≥ 0 and ≤ 2000 mm"),
    ("tight_length_main_mm = 40", "tight_length_main_mm = -1", "tight_length_main_mm", "≥ 0"),
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
    ("fibre_density_kg_m3 = 1380", "fibre_density_kg_m3 = 1.38",
     "fabrics[0].fibre_density_kg_m3", "0, or ≥ 500 kg/m³"),
    ("void_fraction = 0.85", "void_fraction = 0.85\nvoid_pressure_bar = 2.6",
     "fabrics[0].void_pressure_bar", "≤ 2.5 bar"),
    # 5 mm pressed to 4 mm: 0.76 of the 5 mm are fibre where it is 0.95 of the 4 mm
    ("void_fraction = 0.85", "void_fraction = 0.23\nvoid_pressure_bar = 0",
     "fabrics[0].void_fraction", "> 0.24 and < 1"),
    ("temperature_c = 60, share = 0.8", "temperature_c = 40, share = 0.8",
     "packers[2].derating[2].temperature_c", "> 40 °C"),
    ("temperature_c = 80, share = 0.6", "temperature_c = 80, share = 0.9",
     "packers[2].derating[3].share", "≤ 0.8"),
    ("mass_kg = 16\n", "mass_kg = 16\nderating = [{ temperature_c = 20, share = 1.0 }]\n",
     "packers[0].derating", "at least 2 points, or none"),
    ('tight_evidence = "invented"', 'tight_evidence = " "', "rules.tight_length_main_mm",
     "evidence in words"),
    ("tight_length_main_mm = 40", "tight_length_main_mm = 0.04", "rules.tight_length_main_mm",
     "0, or ≥ 1 mm"),
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
