import random
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from teewright.collar.families import Family, Margins, trade_off
from teewright.report import letters
from teewright.report.figures.families import HEIGHT, WIDTH, trade_off_figure


def families(count: int = 12, seed: int = 1) -> tuple[Family, ...]:
    chance = random.Random(seed)
    places = sorted(chance.uniform(0.0, 6.0) for _ in range(count))
    table = tuple(tuple(1.0 - abs(a - b) for b in places) for a in places)
    names = tuple(f"K{k:02d}" for k in range(count))
    return trade_off(Margins(names, tuple(f"J{k:02d}" for k in range(count)), table))


def texts(svg: str) -> list[str]:
    return [e.text or "" for e in ElementTree.fromstring(svg).iter() if e.tag.endswith("}text")]


def test_each_family_is_a_dot_and_the_chosen_one_is_named() -> None:
    found = families()
    one = found[2]
    svg = trade_off_figure(found, chosen=len(one.patterns))
    assert svg.count("<circle") == len(found)
    assert f"{len(one.patterns)} patterns, {100 * one.margin:.0f} %" in texts(svg)
    assert f"Hatched: fewer than {found[0].bound} cannot serve all." in texts(svg)


@pytest.mark.parametrize("count", [2, 5, 12, 32])
def test_the_name_of_the_chosen_stays_in_the_figure(count: int) -> None:
    found = families(count)
    for family in found:
        svg = trade_off_figure(found, chosen=len(family.patterns))
        (named,) = (
            e
            for e in ElementTree.fromstring(svg).iter()
            if e.tag.endswith("}text") and "pattern" in (e.text or "") and "%" in (e.text or "")
            if not (e.text or "").startswith("least")
        )
        left = float(named.get("x") or 0)
        assert left >= 0.0
        assert left + letters.width(named.text or "", 9.5, 700) <= WIDTH
        assert 0.0 < float(named.get("y") or 0) < HEIGHT


def test_a_step_rises_with_the_margin() -> None:
    found = families()
    svg = trade_off_figure(found, chosen=0)
    circles = [e for e in ElementTree.fromstring(svg).iter() if e.tag.endswith("}circle")]
    places = [(float(c.get("cx") or 0), float(c.get("cy") or 0)) for c in circles]
    assert places == sorted(places, key=lambda p: (p[0], -p[1]))
    per = (places[-1][1] - places[0][1]) / (found[-1].margin - found[0].margin)
    for place, family in zip(places, found, strict=True):
        level = places[0][1] + per * (family.margin - found[0].margin)
        assert place[1] == pytest.approx(level, abs=0.02)


def test_what_is_not_proved_is_dashed_above_what_is_found() -> None:
    found = families()
    plain = trade_off_figure(found, chosen=0)
    hasty = [replace(f, margin_bound=1.0, proved=False) for f in found]
    assert 'stroke-dasharray="1 0.8"' not in plain
    assert 'stroke-dasharray="1 0.8"' in trade_off_figure(hasty, chosen=0)


def test_one_pattern_for_all_has_no_hatched_part() -> None:
    (only,) = trade_off(Margins(("K1",), ("J1", "J2"), ((0.4, 0.9),)))
    svg = trade_off_figure([only], chosen=1)
    assert "1 pattern, 40 %" in texts(svg)
    assert "Hatched" not in svg
