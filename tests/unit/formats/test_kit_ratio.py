"""Ratio of the parts, squeezing and friction in the kit file."""

import pytest

from teewright import demo
from teewright.errors import InputError
from teewright.formats.kit_toml import read_kit
from teewright.kit.values import Kit

GOOD = demo.file(demo.KIT_FILE).decode()
BY_MASS = "parts_b_per_100_a = 85\n"
A, B = 1450.0, 1210.0  # densities of the resin of which BY_MASS is the ratio


def read(*changes: tuple[str, str]) -> Kit:
    text = "".join(
        line for line in GOOD.splitlines(keepends=True) if "volumes_b_per_100_a" not in line
    )
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return read_kit(text.encode(), file="kit.toml")[0]


def refusal(*changes: tuple[str, str]) -> str:
    with pytest.raises(InputError) as caught:
        read(*changes)
    return str(caught.value)


def test_a_ratio_by_volume_alone_is_turned_by_the_densities() -> None:
    resin = read((BY_MASS, "volumes_b_per_100_a = 102\n")).resins[0]
    assert resin.ratio_volume == pytest.approx(1.02)
    # 1.02 l of B weigh 1.02 * 1210 g, 1 l of A weighs 1450 g
    assert resin.ratio_mass == pytest.approx(1.02 * B / A)
    assert resin.by_volume


def test_a_ratio_by_mass_alone_is_as_before() -> None:
    resin = read().resins[0]
    assert (resin.ratio_mass, resin.ratio_volume, resin.by_volume) == (0.85, None, False)


@pytest.mark.parametrize("off", [-0.019, 0.0, 0.019])
def test_both_may_be_told_where_they_agree_within_two_percent(off: float) -> None:
    volumes = 85.0 * A / B * (1.0 + off)
    resin = read((BY_MASS, f"{BY_MASS}volumes_b_per_100_a = {volumes:.6f}\n")).resins[0]
    assert resin.ratio_mass == 0.85
    assert resin.ratio_volume == pytest.approx(volumes / 100.0)


@pytest.mark.parametrize("off", [-0.021, 0.021])
def test_two_ratios_that_contradict_each_other_are_refused(off: float) -> None:
    volumes = 85.0 * A / B * (1.0 + off)
    said = refusal((BY_MASS, f"{BY_MASS}volumes_b_per_100_a = {volumes:.6f}\n"))
    assert "contradicts parts_b_per_100_a = 85, which the densities make 101.9 by volume" in said
    assert "99.82 to 103.9" in said


def test_no_ratio_is_refused() -> None:
    assert "tells no ratio of its parts" in refusal((BY_MASS, ""))


def test_a_ratio_by_volume_that_is_none_by_mass_is_refused() -> None:
    changes = ((BY_MASS, "volumes_b_per_100_a = 1000\n"), ("density_b_kg_m3 = 1210",
               "density_b_kg_m3 = 1600"))  # fmt: skip
    assert "is no ratio by mass that can be mixed" in refusal(*changes)


def test_squeezing_and_friction_become_si() -> None:
    felt = 'name = "Felt 5"\n'
    kit = read(
        (felt, f"{felt}squeezed_mm = 4.6\n"), ("margin_bar", "friction_bar = 0.02\nmargin_bar")
    )
    assert kit.fabrics[0].squeezed == pytest.approx(4.6e-3)
    assert kit.rules.friction == pytest.approx(2e3)


@pytest.mark.parametrize("thickness", ["3.9", "5.0"])
def test_a_fabric_is_squeezed_to_what_was_measured(thickness: str) -> None:
    felt = 'name = "Felt 5"\n'
    said = refusal((felt, f"{felt}squeezed_mm = {thickness}\n"))
    assert "≥ 4 and < 5 mm" in said


@pytest.mark.parametrize("friction", ["-0.1", "6"])
def test_a_friction_that_cannot_be_is_refused(friction: str) -> None:
    said = refusal(("margin_bar", f"friction_bar = {friction}\nmargin_bar"))
    assert "≥ 0 and ≤ 5 bar" in said
