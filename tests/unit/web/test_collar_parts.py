"""What the collar's page is made of: bars, tries in an address, the map."""

import math
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from teewright import demo
from teewright.bench.inputs import Document, Inputs, Options, load
from teewright.errors import InputError, UnknownNameError
from teewright.web.collar_sliders import place_sliders, sliders
from teewright.web.collar_wish import address_of, fields_of, wish_of
from teewright.web.office import Known
from teewright.web.quantities import System
from teewright.web.trying import Bench, Wish, bench_of, instant, order_of
from teewright.web.window_bars import NARROWEST, WindowBar, drawn

WYE = "T01-T02/03"


def bench(connection: str = WYE) -> Bench:
    files = tuple(Document(name, demo.file(name)) for name in demo.SURVEY_FILES)
    kit = Document("kit.toml", demo.file(demo.KIT_FILE))
    inputs = Inputs(files, kit, Document("site.toml", demo.file(demo.SITE_FILE)), Options())
    return bench_of(Known(inputs, load(inputs)), connection)


BENCH = bench()


# bars


def bar(**more: object) -> WindowBar:
    values: dict[str, object] = {
        "name": "a quantity", "ends": (0.0, 10.0), "write": lambda v: f"{v:.1f}", **more,
    }  # fmt: skip
    return WindowBar(**values)  # type: ignore[arg-type]


@given(st.floats(-5.0, 15.0), st.floats(-5.0, 15.0), st.floats(-5.0, 15.0))
def test_nothing_is_drawn_outside_a_bar(least: float, most: float, at: float) -> None:
    svg = drawn(bar(least=min(least, most), most=max(least, most), at=at, spread=(at, at + 1.0)))
    places = [float(x) for x in re.findall(r' x[12]?="(-?[\d.]+)%"', svg)]
    assert places
    assert all(0.0 <= x <= 100.0 for x in places)
    for x, wide in re.findall(r' x="([\d.]+)%" y="8.0" width="([\d.]+)%"', svg):
        assert float(x) + float(wide) <= 100.02


@given(st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_limits_are_always_written_and_no_figure_is_drawn_over_another(a: float, b: float) -> None:
    least, most = min(a, b), max(a, b)
    svg = drawn(bar(least=least, most=most, ticks=((5.0, "five"),)))
    for value in (least, most):
        assert f">{value:.1f}<" in svg
    spans = []
    for kind, x, words in re.findall(r'<text class="n ?(m|e|)" x="([\d.]+)%"[^>]*>([^<]*)<', svg):
        wide, place = 100.0 * 6.6 * len(words) / NARROWEST, float(x)
        left = {"m": place - wide / 2, "e": place - wide, "": place}[kind]
        spans.append((left, left + wide, words))
    # the two limits may touch where they are nearly one; nothing else may
    limits = {f"{least:.1f}", f"{most:.1f}"}
    for k, (left, right, words) in enumerate(spans):
        for other_left, other_right, other in spans[k + 1 :]:
            if not {words, other} <= limits:
                assert right <= other_left or other_right <= left


@given(st.floats(0.7, 1.5), st.floats(0.0, 1.0))
def test_limits_that_are_near_each_other_are_written_to_both_sides(low: float, more: float) -> None:
    """A narrow window: as long as there is room beside both, neither figure lies on the other."""

    def write(value: float) -> str:
        return f"{value:.2f} bar"

    svg = drawn(bar(ends=(0.0, 2.5), least=low, most=low + 0.001 + more, write=write))
    wide = 100.0 * 7.4 * len("0.00 bar") / NARROWEST
    ends = {
        words: {"m": x - wide / 2, "e": x - wide, "": x}[kind]
        for kind, x, words in (
            (kind, float(x), words)
            for kind, x, words in re.findall(
                r'<text class="n ?(m|e|)" x="([\d.]+)%"[^>]*>([^<]*)<', svg
            )
        )
    }
    if low + more < 1.5 and write(low) != write(low + 0.001 + more):
        assert ends[write(low)] + wide <= ends[write(low + 0.001 + more)]


def test_names_are_written_safely() -> None:
    assert "<b>" not in drawn(bar(name='"<b>', ticks=((5.0, "<b>"),)))


# tries


def test_what_is_known_is_no_try() -> None:
    stands = {s.name: f"{s.value:g}" for s in (*sliders(BENCH, Wish()), *place_sliders(Wish()))}
    assert wish_of(stands, BENCH) == Wish()


@given(
    angle=st.integers(46, 90), main=st.integers(190, 400), fillet=st.integers(6, 20),
    along=st.integers(-30, 30), turned=st.integers(-15, 15), keep=st.booleans(),
)  # fmt: skip
def test_a_try_survives_its_address(
    angle: int, main: int, fillet: int, along: int, turned: int, *, keep: bool
) -> None:
    wish = Wish(
        angle=math.radians(angle), main=main / 1e3, fillet=fillet / 1e3, along=along / 1e3,
        round=math.radians(turned), keep=keep,
    )  # fmt: skip
    again = wish_of(fields_of(wish), BENCH)
    assert again.keep is keep
    for name in ("angle", "main", "fillet", "along", "round"):
        assert getattr(again, name) == pytest.approx(getattr(wish, name), abs=1e-9)
    assert again.branch is None
    assert address_of(WYE, wish).startswith("/collars/T01-T02/03")


@pytest.mark.parametrize(
    ("field", "given_"), [("angle", "steep"), ("main", "0"), ("along", "31"), ("round", "nan")]
)
def test_a_bad_field_is_told_with_what_is_allowed(field: str, given_: str) -> None:
    with pytest.raises(InputError, match=f"{field}.*allowed"):
        wish_of({field: given_}, BENCH)


def test_an_unknown_connection_cannot_be_tried() -> None:
    with pytest.raises(UnknownNameError):
        bench("nowhere")


def test_only_what_is_tried_changes_the_order() -> None:
    known, _ = order_of(BENCH, Wish())
    leaning, case = order_of(BENCH, Wish(angle=math.radians(60.0), along=0.01))
    assert math.degrees(known.junction.angle) == pytest.approx(45.0)
    assert math.degrees(leaning.junction.angle) == pytest.approx(60.0)
    assert leaning.junction.main_diameter == known.junction.main_diameter
    assert leaning.junction.branch_diameter == known.junction.branch_diameter
    assert case.along == pytest.approx(0.01)


def test_a_junction_that_no_packer_serves_says_so_and_nothing_else() -> None:
    found = instant(BENCH, Wish(branch=0.3))
    assert "wider than the main" in found.reasons[0]
    assert found.pressure is None
    assert found.design is None


def test_sliders_hold_what_they_show() -> None:
    for one in sliders(BENCH, Wish(angle=math.radians(60.0)), System.US):
        assert one.low <= one.value <= one.high
        assert one.low <= one.known <= one.high
    assert sliders(BENCH, Wish())[1].words(System.US).endswith("in")


def test_modules_and_templates_name_no_text_of_their_own() -> None:
    # texts that a reader sees stand in the catalogue; a module gets them as data
    folder = Path(__file__).parents[3] / "src/teewright/web/static"
    for name in ("collar.mjs", "collar3d.mjs", "collar_map.mjs"):
        source = (folder / name).read_text(encoding="utf-8")
        assert 'textContent = "' not in source
        assert "innerHTML" not in source
