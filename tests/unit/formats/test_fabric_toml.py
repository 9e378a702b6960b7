import math
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from collar_shapes import FABRIC
from teewright import demo
from teewright.errors import InputError
from teewright.fabric.entry import fabric_of
from teewright.fabric.fit import fit_strips
from teewright.fabric.law import law_of, window
from teewright.fabric.thickness import fit_thickness
from teewright.fabric.values import ThicknessReading
from teewright.findings import FindingKind
from teewright.formats.fabric_toml import fabric_section
from teewright.formats.kit_toml import read_fabrics, read_kit
from teewright.kit.values import Fabric
from unit.fabric.made import LAW, three

KIT = demo.file(demo.KIT_FILE)
FULL = replace(
    FABRIC, poisson=0.41, stiffness_shear=3210.0, seam_stiffness=250.0, seam_take=0.0012,
    friction=0.27, fibre_density=1390.0, void_pressure=2.5e4,
)  # fmt: skip


def near(one: Fabric, other: Fabric) -> bool:
    """Whether two fabrics are the same to the digits that are written."""

    def same(a: object, b: object) -> bool:
        if isinstance(a, float) and isinstance(b, float):
            return math.isclose(a, b, rel_tol=1e-4, abs_tol=1e-9)
        if isinstance(a, tuple) and isinstance(b, tuple):
            return len(a) == len(b) and all(same(x, y) for x, y in zip(a, b, strict=True))
        return a == b

    return all(same(getattr(one, f), getattr(other, f)) for f in Fabric.__slots__)


def test_what_is_written_is_read_back() -> None:
    (found,) = read_fabrics(fabric_section(FULL).encode(), file="f.toml")
    assert near(found, FULL)


NAME_SIGNS = st.characters(exclude_characters="#", categories=("L", "N", "P", "S", "Zs"))


@given(st.text(NAME_SIGNS, min_size=1, max_size=60), st.text(st.characters(codec="utf-8")))
@example("a", '\x7f \\ " \n \t \u2028')
@settings(max_examples=50)
def test_any_words_are_read_back(name: str, source: str) -> None:
    given_ = replace(FULL, name=name, source=source)
    (found,) = read_fabrics(fabric_section(given_).encode(), file="f.toml")
    assert (found.name, found.source) == (name, source)


def test_a_fitted_fabric_takes_its_place_in_a_kit() -> None:
    pressed = fit_thickness(
        [ThicknessReading(p, t) for p, t in ((0.0, 0.006), (1e5, 0.0053), (3e5, 0.0049))]
    )
    fitted = fabric_of("Felt 6", fit_strips(three()), pressed, source="own tests")
    section = fabric_section(fitted, notes=["fitted,\nto own tests"])
    kit, findings = read_kit(KIT + b"\n" + section.encode(), file="kit.toml")
    assert near(kit.fabrics[-1], fitted)
    assert {f.kind for f in findings} == {FindingKind.NOTE}
    law = law_of(kit.fabrics[-1])
    assert law.shear == pytest.approx(LAW.shear, rel=1e-4)
    for key in ("price_per_m2", "void_fraction", "roll_width_mm", "friction", "fibre"):
        (line,) = [text for text in section.splitlines() if text.startswith(key)]
        assert "to be filled in" in line


def test_the_new_keys_may_be_left_out() -> None:
    keys = (
        "poisson", "stiffness_shear", "seam_stiffness", "seam_take", "friction", "fibre_density",
        "void_pressure",
    )  # fmt: skip
    lines = [t for t in fabric_section(FULL).splitlines() if not t.startswith(keys)]
    (found,) = read_fabrics("\n".join(lines).encode(), file="f.toml")
    assert found.poisson == 0.3
    assert (found.stiffness_shear, found.seam_stiffness, found.seam_take) == (0.0, 0.0, 0.0)
    assert found.friction == 0.3
    assert (found.fibre_density, found.void_pressure) == (0.0, None)


def test_a_ratio_beyond_the_bound_is_refused_where_it_stands() -> None:
    data = fabric_section(replace(FABRIC, poisson=1.5)).encode()
    with pytest.raises(InputError, match=r"fabrics\[0\]\.poisson = '1.5' .* = 1.414"):
        read_fabrics(data, file="f.toml")


def test_two_fabrics_of_one_name_are_refused() -> None:
    with pytest.raises(InputError, match="twice"):
        read_fabrics(2 * (fabric_section(FABRIC).encode() + b"\n"), file="f.toml")


def test_the_demo_fabrics_have_stable_laws_of_their_own() -> None:
    kit, _ = read_kit(KIT, file="kit.toml")
    laws = [law_of(fabric) for fabric in kit.fabrics]
    assert all(fabric.stiffness_shear > 0.0 for fabric in kit.fabrics)
    assert laws[0].poisson != laws[1].poisson


def test_the_plain_kit_is_read_and_says_that_it_is_invented() -> None:
    kit, findings = read_kit(demo.plain_kit(), file="plain_kit.toml")
    assert kit.invented
    assert {f.kind for f in findings} == {FindingKind.NOTE}
    assert [f.name for f in kit.fabrics] == ["felt 4 mm", "felt 6 mm", "knit 4 mm"]
    sources = [f.source for f in kit.fabrics] + [r.source for r in kit.resins]
    assert all("replace" in source for source in sources)
    assert b"replace them" in demo.plain_kit().split(b"\n\n")[0].lower()
    for fabric in kit.fabrics:
        low, high = window(fabric)
        assert low < 1.0 < kit.rules.stretch < high
        # the sizes that the fabrics are named by
        assert f"{1e3 * fabric.thickness[0][1]:.0f} mm" in fabric.name
        assert fabric.thickness[-1][0] >= max(p.rating for p in kit.packers)


def test_the_plain_kit_has_a_packer_for_each_size() -> None:
    kit, _ = read_kit(demo.plain_kit(), file="plain_kit.toml")
    for main in range(100, 901, 50):
        for branch in range(80, min(main, 300) + 1, 20):
            assert any(
                p.main_min <= main / 1e3 <= p.main_max
                and p.branch_min <= branch / 1e3 <= p.branch_max
                for p in kit.packers
            ), (main, branch)
