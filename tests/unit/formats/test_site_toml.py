import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright import demo
from teewright.errors import InputError, TeewrightError
from teewright.formats.site_toml import read_site
from teewright.formats.toml_docs import site_page
from teewright.network.conditions import Defaults, Site

GOOD = demo.file(demo.SITE_FILE)


def read(text: str) -> Site:
    return read_site(text.encode(), file="site.toml")[0]


def refusal(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read(text)
    return caught.value


def message(data: bytes) -> str:
    """What is said of a site file, empty where it is read."""
    try:
        read_site(data, file="site.toml")
    except TeewrightError as error:
        return str(error)
    return ""


def test_an_empty_file_is_a_site_of_which_nothing_is_known() -> None:
    site = read("")
    assert (*site.nodes, *site.runs, *site.connections) == ()
    assert site.weather is None
    assert site.flow_pattern == ()
    assert site.first_day == ""


def test_defaults_left_out_are_those_of_the_network() -> None:
    given_, known = read("").defaults, Defaults()
    for name in Defaults.__slots__:
        assert getattr(given_, name) == pytest.approx(getattr(known, name), rel=1e-12), name


def test_units_become_si() -> None:
    site = read(
        'first_day = "2027-05-03"\n'
        "[weather]\nair_c = 14\npipe_c = 11\n"
        '[[runs]]\nupstream = "A"\ndownstream = "B"\nliner_thickness_mm = 6\n'
        'ovality_percent = 3\nmean_flow_l_s = 2.5\naccess = [{ start = "21:30", end = "05:00" }, '
        '{ start = "10:00", end = "14:15" }]\n'
        '[[connections]]\nrun = "A-B"\nchainage_m = 4.2\nangle_deg = 60\ngap_mm = 0.2\n'
        "diameter_mm = 125\nfillet_mm = 4\n"
        "[defaults]\ngap_path_mm = 80\nair_c = 20\n"
    )
    assert site.first_day == "2027-05-03"
    assert site.weather is not None
    assert site.weather.air == pytest.approx(287.15)
    run = site.runs[0]
    assert run.liner_thickness == pytest.approx(0.006)
    assert run.ovality == pytest.approx(0.03)
    assert run.mean_flow == pytest.approx(0.0025)
    assert run.lined is None
    assert list(run.access) == [(21.5 * 3600, 29 * 3600), (36000, 14.25 * 3600)]
    note = site.connections[0]
    assert note.angle == pytest.approx(math.pi / 3)
    assert note.gap == pytest.approx(2e-4)
    assert note.diameter == pytest.approx(0.125)
    assert note.fillet == pytest.approx(0.004)
    assert site.defaults.gap_path == pytest.approx(0.08)
    assert site.defaults.air == pytest.approx(293.15)


def test_a_date_may_be_written_either_way() -> None:
    assert read("first_day = 2027-05-03") == read('first_day = "2027-05-03"')


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("first_day = 3", 1, "not a date"),
        ("\nfirst_day = '3 May'", 2, "not a date"),
        ("days = [1, 8]", 1, "days[1]"),
        ("days = [1, 1]", 1, "each day once"),
        ("days = []", 1, "too few"),
        ("flow_pattern = [1, 1]", 1, "exactly 24"),
        ("colour = 'red'", 1, "not a key"),
        ("[[nodes]]\nnode = 'A'\n[[nodes]]\nnode = 'A'", 4, "each node once"),
        ("[[nodes]]\nnode = 'A'\nground_m = 2\ninvert_m = 3", 4, "number < 2 m"),
        ("[[runs]]\nupstream = 'A'\ndownstream = 'A'", 3, "another node"),
        ("[[runs]]\nupstream='A'\ndownstream='B'\n[[runs]]\nupstream='B'\ndownstream='A'", 6,
         "each pair of nodes once"),
        ("[[runs]]\nupstream = 'A'", 1, "runs[0].downstream is missing"),
        ("[[runs]]\nupstream = 'A'\ndownstream = 'B'\nlined = false\nliner_thickness_mm = 5", 4,
         "contradicts"),
        ("[[runs]]\nupstream = 'A'\ndownstream = 'B'\nlined = 'yes'", 4, "true"),
        ("[[runs]]\nupstream = 'A'\ndownstream = 'B'\naccess = [{ start = '9', end = '10:00' }]",
         4, "such as 21:00"),
        ("[[connections]]\nrun = 'A-B'\nchainage_m = -1", 3, "≥ 0"),
        ("[[connections]]\nrun = 'A-B'\nchainage_m = 1\nclock = 0", 4, "> 0 and ≤ 12"),
        ("[weather]\nair_c = 14", 1, "weather.pipe_c is missing"),
    ],
)  # fmt: skip
def test_what_is_not_allowed_is_named_with_its_line(text: str, line: int, words: str) -> None:
    error = refusal(text)
    assert error.line == line
    assert words in str(error)


def test_oddities_are_findings_with_their_line() -> None:
    text = (
        f"invented = true\nflow_pattern = [{', '.join(['2'] * 24)}]\n"
        "[[nodes]]\nnode = 'A'\nground_m = 5\ngroundwater_m = 6\n"
    )
    _, findings = read_site(text.encode(), file="site.toml")
    assert [(f.rule, f.place.line) for f in findings] == [
        ("site-invented", None),
        ("site-flow-pattern", 2),
        ("site-water-above-ground", 6),
        ("site-water-source", 6),
    ]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(GOOD) - 1), st.binary(max_size=6))
def test_any_damage_ends_in_a_site_or_in_one_clear_sentence(at: int, new: bytes) -> None:
    damaged = GOOD[:at] + new + GOOD[at + 3 :]
    said = message(damaged)
    assert said == "" or said.startswith("site.toml")


def test_the_page_of_keys_is_current() -> None:
    page = Path(__file__).parents[3] / "docs" / "site.md"
    assert page.read_text(encoding="utf-8") == site_page(), "run: python docs/make_pages.py"
