"""The strip of a run: every connection drawn, in any unit, whatever is not known, and harmless."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from teewright.bench.inputs import Loaded
from teewright.job.assessing import assess_survey
from teewright.network.conditions import Site
from teewright.web.drawings import run_upright, run_wide
from teewright.web.drawings.run_view import RunView, view_of
from teewright.web.drawings.true_shape import clock_at
from teewright.web.quantities import System
from teewright.web.survey_words import window_words
from unit.job import world


def view(
    run_id: str = "T02-T03", site: Site | None = None, system: System = System.METRIC
) -> RunView:
    survey, place = world.survey(), world.site() if site is None else site
    loaded = Loaded(survey, world.kit(), place, ())
    verdicts = {v.connection_id: v for v in assess_survey(survey, place).verdicts}
    words = {c.id: window_words(c, verdicts[c.id], system) for c in survey.of_run(run_id)}
    return view_of(loaded, survey.run(run_id), verdicts, words, system)


def drawn(seen: RunView) -> list[ET.Element]:
    """All three drawings, as a browser reads them."""
    made = (
        run_wide.draw(seen, 944.0, "strip"),
        run_wide.draw(seen, 636.0, "strip"),
        run_upright.draw(seen, "strip"),
    )
    return [ET.fromstring(one) for one in made]


def words(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter("text")]


@pytest.mark.parametrize("site", [None, Site()])
@pytest.mark.parametrize("run_id", [run.id for run in world.survey().runs])
def test_every_connection_is_drawn_once_in_each(run_id: str, site: Site | None) -> None:
    expected = [c.id for c in world.survey().of_run(run_id)]
    for root in drawn(view(run_id, site)):
        assert [a.get("data-id") for a in root.iter("a")] == expected


def test_nothing_stands_outside_the_drawing() -> None:
    for root in drawn(view()):
        _, _, width, height = (float(v) for v in (root.get("viewBox") or "").split())
        for circle in root.iter("circle"):
            assert 0.0 <= float(circle.get("cx", "nan")) <= width
            assert 0.0 <= float(circle.get("cy", "nan")) <= height


def test_chainage_and_clock_stand_at_their_scale() -> None:
    seen = view()
    root = drawn(seen)[0]
    scale = (944.0 - 76.0 - 34.0) / seen.length
    for opening, link in zip(seen.openings, root.iter("a"), strict=True):
        ellipses = list(link.iter("ellipse"))
        at = next(e for e in ellipses if "ghost" not in (e.get("class") or ""))
        assert float(at.get("cx", "nan")) == pytest.approx(
            76.0 + opening.chainage * scale, abs=0.06
        )
    # 12 in the middle, 3 below it, 9 above: a quarter of the girth each
    assert clock_at(12.0, 200.0) == 100.0
    assert clock_at(3.0, 200.0) == 150.0
    assert clock_at(9.0, 200.0) == 50.0


def test_lengths_are_written_in_the_readers_unit() -> None:
    metric, us = drawn(view())[0], drawn(view(system=System.US))[0]
    assert "51.3 m" in words(metric)
    assert "168.3 ft" in words(us)
    assert "invert 21.25" in words(metric)
    assert "invert 69.72" in words(us)  # 21.25 m / 0.3048
    assert [said for said in words(us) if re.fullmatch(r"[\d.]+ m( above datum)?", said)] == []
    assert "ft above datum" in words(us)


def test_names_are_text_and_no_drawing_carries_a_style() -> None:
    seen = view()
    bad = replace(seen.upstream, node="</text><script>alert(1)</script>\x01")
    opening = replace(seen.openings[0], label='"><b>', words=("<i>", "&", "\x02", "x"))
    seen = replace(seen, upstream=bad, openings=(opening, *seen.openings[1:]))
    for root in drawn(seen):
        assert {e.tag for e in root.iter()} <= {
            "svg", "g", "a", "path", "rect", "circle", "ellipse", "text", "clipPath",
        }  # fmt: skip
        assert all(e.get("style") is None for e in root.iter())
