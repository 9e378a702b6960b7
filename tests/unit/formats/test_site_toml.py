import math
import re
from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright import demo
from teewright.assess.entry import NOMINAL_FLOW
from teewright.assess.values import EntryClass
from teewright.errors import InputError, TeewrightError
from teewright.findings import FindingKind
from teewright.formats.json_values import dump, load
from teewright.formats.site_checks import in_one_day
from teewright.formats.site_entry import ASCENDING
from teewright.formats.site_toml import read_site
from teewright.formats.toml_docs import site_page
from teewright.network.conditions import Defaults, Shower, Site

GOOD = demo.file(demo.SITE_FILE)
WEATHER = "[weather]\nair_c = 14\npipe_c = 11\n"
FULLY = "deteriorated = 'fully'\nsoil_modulus_mpa = 7\ntraffic_kpa = 0\n"
NOTE = "[[connections]]\nrun = 'A-B'\nchainage_m = 1\n"
RUN = "[[runs]]\nupstream = 'A'\ndownstream = 'B'\n"


def levels(*times: str) -> str:
    """Water levels at times as TOML writes them, the list in the first line."""
    return "\n".join(
        ["water_levels = [", *(f"{{ time = {t}, level_m = 2 }}," for t in times), "]\n"]
    )


def air(*path: tuple[str, float]) -> str:
    """Weather with a path of the air, its list in the fourth line."""
    rows = (f"{{ time = '{time}', temperature_c = {T} }}," for time, T in path)
    return WEATHER + "\n".join(["air_path = [", *rows, "]\n"])


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


def test_units_of_what_moves_become_si() -> None:
    site = read(
        'infiltration_l_s = 0.3\nrain = { start = "22:30", peak_l_s = 4, duration_h = 1.5 }\n'
        'water_levels_source = "gauge"\nwater_levels = [\n'
        '  { time = "2027-05-03 18:00", level_m = 21.5 },\n'
        "  { time = 2027-05-04 00:10:00, level_m = 23 },\n]\n"
        "[weather]\nair_c = 14\npipe_c = 11\nground_c = 9\npack_c = 18\nair_path = [\n"
        '  { time = "21:30", temperature_c = 15 },\n  { time = "23:00", temperature_c = 13 },\n'
        '  { time = "05:15", temperature_c = 8 },\n]\n'
        '[[runs]]\nupstream = "A"\ndownstream = "B"\nhost_thickness_mm = 22\n'
        'host_strength_mpa = 1.5\nhost_material = "vitrified clay"\nhost_cracked = false\n'
    )
    assert site.infiltration == pytest.approx(3e-4)
    assert site.rain == Shower(start=22.5 * 3600, peak=4 * 1e-3, duration=5400.0)
    assert [(w.time, w.level) for w in site.water_levels] == [
        (datetime.fromisoformat("2027-05-03T18:00"), 21.5),
        (datetime.fromisoformat("2027-05-04T00:10"), 23.0),
    ]
    weather = site.weather
    assert weather is not None
    assert weather.ground == pytest.approx(282.15)
    assert weather.pack == pytest.approx(291.15)
    assert [time for time, _ in weather.air_path] == [21.5 * 3600, 23 * 3600, 29.25 * 3600]
    assert [T for _, T in weather.air_path] == pytest.approx([288.15, 286.15, 281.15])
    run = site.runs[0]
    assert run.host_thickness == pytest.approx(0.022)
    assert run.host_strength == pytest.approx(1.5e6)
    assert run.host_material == "vitrified clay"
    assert load(dump(site), Site) == site


def test_what_bounds_the_level_behind_a_packer_is_read() -> None:
    site = read(
        "[[nodes]]\nnode = 'A'\narea_m2 = 2.5\n"
        "[[runs]]\nupstream = 'A'\ndownstream = 'B'\nmanning_n = 0.011\nover_pumping_l_s = 3\n"
        "[[connections]]\nrun = 'A-B'\nchainage_m = 4\nbackwater_level_m = 12.5\n"
        "backwater_source = 'gully of no. 3'\n"
        "[defaults]\narea_m2 = 1.2\nmanning_n = 0.012\n"
    )
    assert site.nodes[0].area == 2.5
    assert site.runs[0].manning == 0.011
    assert site.runs[0].over_pumping == pytest.approx(3e-3)
    note = site.connections[0]
    assert (note.backwater, note.backwater_source) == (12.5, "gully of no. 3")
    assert (site.defaults.area, site.defaults.manning) == (1.2, 0.012)
    assert load(dump(site), Site) == site


def test_what_presses_on_the_wall_and_what_comes_in_is_read() -> None:
    site = read(
        f"{RUN}{FULLY}{NOTE}branch_invert_m = 12.5\nbranch_ovality_percent = 3\n"
        "[defaults]\nbranch_ovality_percent = 1\n"
        "[entry]\ngushing_l_h = 360\ndripping_l_h = 3.6\nsource = 'buckets'\n"
    )
    run, note = site.runs[0], site.connections[0]
    assert (run.deteriorated, run.traffic, note.branch_invert) == ("fully", 0.0, 12.5)
    assert run.soil_modulus == pytest.approx(7e6)
    assert note.branch_ovality == pytest.approx(0.03)
    assert site.defaults.branch_ovality == pytest.approx(0.01)
    names, flows = zip(*site.entry_flows, strict=True)
    assert names == ("dripping", "gushing")
    assert flows == pytest.approx([1e-6, 1e-4])
    assert site.entry_source == "buckets"
    assert load(dump(site), Site) == site


def test_the_classes_of_entry_are_those_that_a_survey_codes() -> None:
    ranked = sorted(NOMINAL_FLOW, key=NOMINAL_FLOW.__getitem__)
    assert list(ASCENDING) == [k.value for k in ranked if k.value in ASCENDING]
    assert {k.value for k in EntryClass} - set(ASCENDING) == {"dry", "not known"}


def test_a_wheel_on_the_road_stands_in_place_of_a_pressure() -> None:
    wheels = "wheel_load_kn = 71.2\nwheels_beside_m = [1.83, 2.5]\n"
    told = f"{RUN}deteriorated = 'fully'\nsoil_modulus_mpa = 7\n{wheels}"
    site, findings = read_site(told.encode(), file="site.toml")
    (run,) = site.runs
    assert findings == ()
    assert run.traffic is None
    assert run.wheel_load == pytest.approx(71.2e3)
    assert run.wheels_beside == (1.83, 2.5)


@pytest.mark.parametrize("key", ["soil_modulus_mpa", "traffic_kpa", "wheel_load_kn"])
def test_ground_on_a_host_that_carries_it_is_doubted(key: str) -> None:
    _, (finding,) = read_site(f"{RUN}{key} = 7\n".encode(), file="site.toml")
    assert (finding.rule, finding.place.line) == ("site-ground", 4)
    assert "it is not used" in finding.text


def test_a_level_that_nobody_explains_is_doubted() -> None:
    text = "[[connections]]\nrun = 'A-B'\nchainage_m = 4\nbackwater_level_m = 12.5\n"
    _, (finding,) = read_site(text.encode(), file="site.toml")
    assert (finding.rule, finding.place.line) == ("site-backwater-source", 4)


def test_a_site_of_before_is_read_as_before() -> None:
    keys = "ground_c|host_thickness_mm|air_path|water_levels|bank_distance_m|branch_pipe|fillings"
    plain = re.sub(r"\[damping\]\n.*?\n\n", "", GOOD.decode(), flags=re.S)
    old = re.sub(rf"^({keys}) = (\[\n.*?\n\]|.*?)\n", "", plain, flags=re.S | re.M)
    assert len(old) < len(GOOD.decode()) - 300
    site, findings = read_site(old.encode(), file="site.toml")
    assert [f.rule for f in findings] == ["site-invented"]
    assert (site.infiltration, site.rain, site.water_levels) == (0.0, None, ())
    assert site.damping is None
    assert site.weather is not None
    assert (site.weather.ground, site.weather.pack, site.weather.air_path) == (None, None, ())
    assert {(r.host_thickness, r.host_strength, r.host_material) for r in site.runs} == {
        (None, None, "")
    }


def test_the_demo_site_has_its_night_and_its_hosts() -> None:
    site, findings = read_site(GOOD, file="site.toml")
    assert [f.rule for f in findings] == ["site-invented"]
    assert site.weather is not None
    times, air = zip(*site.weather.air_path, strict=True)
    assert list(times) == sorted(times)
    assert (times[0], times[-1]) == (20 * 3600, 30 * 3600)
    assert list(air) == sorted(air, reverse=True)
    assert all(run.host_thickness for run in site.runs)


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
        ("infiltration_l_s = -1", 1, "≥ 0 and ≤ 5000 l/s"),
        ("rain = { start = '22:30', peak_l_s = 4 }", 1, "rain.duration_h is missing"),
        ("rain = { start = '22:30', peak_l_s = 4, duration_h = 25 }", 1, "≤ 24 h"),
        (levels("'2027-05-03 18:00'", "'2027-05-03 18:00'"), 3, "time after 2027-05-03 18:00"),
        (levels("'2027-05-03 18:00'"), 1, "at least 2"),
        (levels("'3.5.2027 18:00'"), 2, "is not a local time"),
        (levels("'2027-02-29 18:00'"), 2, "local time as 2027-05-03 21:00"),
        (levels("2027-05-03T18:00:00Z"), 2, "is not a local time"),
        (levels("2027-05-03"), 2, "is not a local time"),
        (air(("21:00", 2)), 4, "at least 2"),
        (air(("21:00", 2), ("02:00", 3), ("22:00", 3)), 7, "within 24 h from 21:00"),
        (air(("21:00", 2), ("21:00", 3)), 6, "a day or more after"),
        (air(("9:00", 2), ("21:00", 3)), 5, "such as 21:00"),
        (f"{WEATHER}ground_c = 283", 4, "≤ 60 °C"),
        (f"{RUN}host_thickness_mm = 0.02", 4, "≥ 1 and ≤ 500 mm"),
        (f"{RUN}host_strength_mpa = 0", 4, "≥ 0.1 and ≤ 1000 MPa"),
        (f"{RUN}host_material = 5", 4, "text"),
        (f"{RUN}manning_n = 0.13", 4, "≥ 0.008 and ≤ 0.03"),
        (f"{RUN}over_pumping_l_s = -1", 4, "≥ 0 and ≤ 5000 l/s"),
        ("[[nodes]]\nnode = 'A'\narea_m2 = 0", 3, "≥ 0.1 and ≤ 1000 m²"),
        ("[[connections]]\nrun = 'A-B'\nchainage_m = 1\nbackwater_level_m = 9001", 4, "≤ 9000 m"),
        ("[defaults]\narea_m2 = 2000", 2, "≥ 0.1 and ≤ 1000 m²"),
        ("[defaults]\nmanning_n = 0.001", 2, "≥ 0.008 and ≤ 0.03"),
        (f"{RUN}deteriorated = 'wholly'", 4, "partly or fully"),
        (f"{RUN}deteriorated = 'fully'", 4, "needs soil_modulus_mpa and traffic_kpa beside it"),
        (f"{RUN}traffic_kpa = 5\ndeteriorated = 'fully'", 5, "needs soil_modulus_mpa beside it"),
        (f"{RUN}{FULLY}host_cracked = false", 7, "contradicts a host that is fully deteriorated"),
        (f"{RUN}{FULLY}wheel_load_kn = 50", 7, "is told beside traffic_kpa"),
        (f"{RUN}wheels_beside_m = [1.8]", 4, "needs wheel_load_kn beside it"),
        (f"{RUN}wheel_load_kn = 50\ndeteriorated = 'fully'", 5, "needs soil_modulus_mpa beside"),
        (f"{RUN}wheel_load_kn = 0", 4, "> 0 and ≤ 1000 kN"),
        (f"{RUN}soil_modulus_mpa = 0.01", 4, "≥ 0.1 and ≤ 100 MPa"),
        (f"{RUN}traffic_kpa = -1", 4, "≥ 0 and ≤ 500 kPa"),
        (f"{NOTE}branch_invert_m = 9001", 4, "≤ 9000 m"),
        (f"{NOTE}branch_ovality_percent = 26", 4, "≤ 25 %"),
        ("[defaults]\nbranch_ovality_percent = -1", 2, "≥ 0 and ≤ 25 %"),
        ("[entry]\ndripping_l_h = -1", 2, "≥ 0 and ≤ 100000 l/h"),
        ("[entry]\ndripping_l_h = 20\ngushing_l_h = 3", 3, "is less than where it is dripping"),
        ("[entry]\ndry_l_h = 1", 2, "not a key"),
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


LEVELS = levels("'2027-05-03 18:00'", "'2027-05-04 06:00'")


@pytest.mark.parametrize(
    ("text", "rule", "line", "words"),
    [
        (LEVELS, "site-water-levels", 1, "no source"),
        (f"water_levels_source = 'gauge'\nfirst_day = 2027-05-05\n{LEVELS}", "site-water-levels",
         3, "say nothing of the first day of work, 2027-05-05"),
        (air(("20:00", 12), ("02:00", 8)), "site-air-path", 4, "from 8 to 12"),
        (f"{RUN}host_strength_mpa = 2\nhost_cracked = false", "site-host-strength", 4,
         "without its thickness"),
        (f"{RUN}host_strength_mpa = 2\nhost_thickness_mm = 20\nhost_cracked = true",
         "site-host-strength", 4, "cracked ring has none"),
        (f"{RUN}host_strength_mpa = 2\nhost_thickness_mm = 20", "site-host-strength", 4,
         "cracked ring has none"),
    ],
)  # fmt: skip
def test_oddities_of_what_is_new_are_findings(text: str, rule: str, line: int, words: str) -> None:
    _, findings = read_site(text.encode(), file="site.toml")
    assert [(f.kind, f.rule, f.place.line) for f in findings] == [(FindingKind.DOUBT, rule, line)]
    assert words in findings[0].text


def test_what_is_new_and_in_order_is_no_finding() -> None:
    text = (
        f"water_levels_source = 'gauge'\nfirst_day = 2027-05-04\n{LEVELS}"
        f"{air(('20:00', 14), ('02:00', 8))}{RUN}"
        "host_strength_mpa = 2\nhost_thickness_mm = 20\nhost_cracked = false\n"
    )
    assert read_site(text.encode(), file="site.toml")[1] == ()


TIMES = st.lists(st.integers(0, 1439), min_size=1, max_size=6)


@given(TIMES)
def test_times_of_a_day_ascend_and_keep_their_clock(minutes: list[int]) -> None:
    texts = [f"{m // 60:02d}:{m % 60:02d}" for m in minutes]
    found = in_one_day(texts)
    assert found[0] == 60.0 * minutes[0]
    assert [time % 86400.0 for time in found] == [60.0 * m for m in minutes]
    assert all(0.0 < b - a <= 86400.0 for a, b in pairwise(found))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(GOOD) - 1), st.binary(max_size=6))
def test_any_damage_ends_in_a_site_or_in_one_clear_sentence(at: int, new: bytes) -> None:
    damaged = GOOD[:at] + new + GOOD[at + 3 :]
    said = message(damaged)
    assert said == "" or said.startswith("site.toml")


def test_the_page_of_keys_is_current() -> None:
    page = Path(__file__).parents[3] / "docs" / "site.md"
    assert page.read_text(encoding="utf-8") == site_page(), "run: python docs/make_pages.py"
