"""Branch pipes, voids and open water in the site file."""

import pytest

from teewright.errors import InputError
from teewright.findings import Finding
from teewright.formats.json_values import dump, load
from teewright.formats.site_toml import read_site
from teewright.network.branch_pipe import BranchPipe, DeclaredFilling
from teewright.network.conditions import Damping, Site
from teewright.units import MM

NOTE = "[[connections]]\nrun = 'A-B'\nchainage_m = 1\n"
NODE = "[[nodes]]\nnode = 'A'\n"
LEVELS = (
    "water_levels_source = 'gauge'\nwater_levels = ["
    "{ time = '2027-05-03 18:00', level_m = 2 }, { time = '2027-05-04 00:10', level_m = 3 }]\n"
)
DAMPING = "[damping]\nperiod_h = 12.4\ndiffusivity_m2_s = 0.25\n"
VOID = "what = 'annulus', volume_l = 0.3, source = 'camera'"


def read(text: str) -> tuple[Site, tuple[Finding, ...]]:
    return read_site(text.encode(), file="site.toml")


def test_units_become_si_and_come_back() -> None:
    site, findings = read(
        f"{LEVELS}{DAMPING}source = 'pumping test'\n{NODE}bank_distance_m = 35\n"
        f"{NOTE}branch_pipe = {{ cracked = false, thickness_mm = 18, strength_mpa = 1.2, "
        f"pressure_bar = 1.5, source = 'pit' }}\nfillings = [{{ {VOID} }}]\n"
    )
    assert findings == ()
    note = site.connections[0]
    pipe = BranchPipe(
        cracked=False, thickness=18 * MM, strength=1.2e6, pressure=1.5e5, source="pit"
    )
    assert note.branch_pipe == pipe
    assert note.fillings == (DeclaredFilling("annulus", 0.3 / 1000.0, "camera"),)
    assert site.damping == Damping(12.4 * 3600.0, 0.25, "pumping test")
    assert site.nodes[0].bank_distance == 35.0
    assert load(dump(site), Site) == site


def test_a_site_that_tells_nothing_of_them_is_as_before() -> None:
    site, _ = read(f"{NODE}{NOTE}")
    assert (site.connections[0].branch_pipe, site.connections[0].fillings) == (None, ())
    assert (site.damping, site.nodes[0].bank_distance) == (None, None)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (f"{NOTE}branch_pipe = {{ thickness_mm = 0.5 }}", 4, "≥ 1 and ≤ 500 mm"),
        (f"{NOTE}branch_pipe = {{ strength_mpa = 0 }}", 4, "≥ 0.1 and ≤ 1000 MPa"),
        (f"{NOTE}branch_pipe = {{ pressure_bar = 21 }}", 4, "≥ 0.01 and ≤ 20 bar"),
        (f"{NOTE}branch_pipe = {{ pressure = 2 }}", 4, "not a key"),
        (f"{NOTE}fillings = [{{ what = 'annulus', volume_l = 0.3 }}]", 4, "source"),
        (f"{NOTE}fillings = [{{ what = 'x', volume_l = 0, source = 'y' }}]", 4, "> 0 and ≤ 100 l"),
        (f"{NOTE}fillings = [{{ what = ' ', volume_l = 1, source = 'y' }}]", 4, "holds no words"),
        (f"{NOTE}fillings = [{{ what = 'x', volume_l = 1, source = ' ' }}]", 4, "holds no words"),
        (f"{NOTE}fillings = [{{ {VOID} }}, {{ {VOID} }}]", 4, "is there twice"),
        ("[damping]\nperiod_h = 12.4", 1, "diffusivity_m2_s"),
        ("[damping]\nperiod_h = 0\ndiffusivity_m2_s = 1", 2, "≥ 0.02 and ≤ 10000 h"),
        ("[damping]\nperiod_h = 12\ndiffusivity_m2_s = 0", 3, "≤ 10000 m²/s"),
        (f"{NODE}bank_distance_m = -1", 3, "≥ 0 and ≤ 100000 m"),
    ],
)
def test_what_is_not_allowed_is_named_with_its_line(text: str, line: int, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert words in str(caught.value)
    assert f"line {line}" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (f"{NOTE}branch_pipe = {{ thickness_mm = 18 }}", "without strength_mpa"),
        (f"{NOTE}branch_pipe = {{ cracked = false, strength_mpa = 1 }}", "without thickness_mm"),
        (f"{NOTE}branch_pipe = {{ thickness_mm = 18, strength_mpa = 1 }}", "not that it is not"),
        (
            f"{NOTE}branch_pipe = {{ cracked = true, thickness_mm = 18, strength_mpa = 1 }}",
            "a cracked ring has none",
        ),
        (f"{LEVELS}{NODE}bank_distance_m = 30", "follows the open water undamped"),
        (f"{NODE}bank_distance_m = 30", "it is not used"),
        (f"{DAMPING}{NODE}bank_distance_m = 30", "there are no water_levels; it is not used"),
        (f"{LEVELS}{DAMPING}{NODE}", "told of no node; the groundwater follows"),
    ],
)
def test_what_cannot_be_used_is_doubted(text: str, words: str) -> None:
    _, (finding,) = read(text)
    assert words in finding.text
