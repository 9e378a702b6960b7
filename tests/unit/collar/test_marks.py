import math
from itertools import combinations

import pytest
from shapely import LineString, Point, Polygon

from collar_shapes import FABRIC, collar, tee
from piece_shapes import all_collars, collar_of, mirrored
from teewright.collar.centres import centre_marks
from teewright.collar.drawn import LAYERS, Drawn, check_scale, side_by_side
from teewright.collar.labels import FACE, fabric_lines, label_lines
from teewright.collar.marks import body, drawn, notch_triangle
from teewright.collar.values import Collar, Panel

CLOSED_FORM = collar(tee(0.2, 0.1, 60.0))
PIECES = [
    pytest.param((panel, made), id=f"{key}-{panel.name}")
    for key, made in {"closed": CLOSED_FORM, **all_collars()}.items()
    for panel in made.panels
]


@pytest.fixture(params=PIECES, scope="module")
def piece(request: pytest.FixtureRequest) -> tuple[Panel, Collar, Drawn]:
    panel, made = request.param
    return panel, made, drawn(panel, made)


def test_labels_say_what_the_sewer_needs() -> None:
    main, branch = CLOSED_FORM.panels
    text = "\n".join(label_lines(main, CLOSED_FORM))
    for part in ("P1 main", "1 of 2", "200 / 100 mm", "60°", FABRIC.name, "1.050", FACE):
        assert part in text
    assert "arrow upstream" in text
    assert "arrow up the branch" in label_lines(branch, CLOSED_FORM)
    assert "piece 2 of 2" in label_lines(branch, CLOSED_FORM)


def test_a_long_name_is_broken_and_an_endless_one_cut() -> None:
    assert fabric_lines("felt") == ["felt"]
    assert all(len(line) <= 32 for line in fabric_lines("needled felt " * 30))
    assert len(fabric_lines("needled felt " * 30)) == 3
    assert fabric_lines("   ") == ["no name"]


def test_every_word_lies_on_the_fabric_clear_of_every_line_and_word(
    piece: tuple[Panel, Collar, Drawn],
) -> None:
    panel, _, made = piece
    fabric = body(panel)
    boxes = [Polygon(words.box()) for words in made.words]
    assert all(fabric.contains(box) for box in boxes)
    lines = [LineString(s.points) for s in made.strokes]
    for words, box in zip(made.words, boxes, strict=True):
        met = [s.layer for s, line in zip(made.strokes, lines, strict=True) if line.intersects(box)]
        assert not met, words.text
    for one, other in combinations(boxes, 2):
        assert one.intersection(other).area < 1e-12


def test_words_can_be_read(piece: tuple[Panel, Collar, Drawn]) -> None:
    panel, owner, made = piece
    label = [words for words in made.words if words.layer == "label"]
    assert " ".join(w.text for w in label).split() == " ".join(label_lines(panel, owner)).split()
    assert min(w.height for w in made.words) >= 0.002
    if panel.name != "edge":
        assert {round(w.height, 4) for w in label} <= {0.008, 0.007, 0.006, 0.005, 0.004, 0.0035}


def test_every_notch_has_its_letters_near_it(piece: tuple[Panel, Collar, Drawn]) -> None:
    panel, _, made = piece
    letters = [words for words in made.words if words.layer == "notch"]
    assert [w.text for w in letters] == [n.label for n in panel.notches]
    for words, notch in zip(letters, panel.notches, strict=True):
        assert math.dist(words.at, notch.point) < 0.03


def test_the_arrow_lies_on_the_fabric_along_the_grain(piece: tuple[Panel, Collar, Drawn]) -> None:
    panel, _, made = piece
    (arrow,) = (s.points for s in made.strokes if s.layer == "grain")
    start, end, left, again, right = arrow
    assert body(panel).contains(LineString(arrow))
    assert start[0] == pytest.approx(end[0])
    assert left[1] == pytest.approx(right[1])
    assert end[1] > left[1] > start[1]
    assert again == end
    assert end[1] - start[1] > 0.015
    crossed = [s.layer for s in made.strokes if LineString(s.points).crosses(LineString(arrow))]
    assert not crossed


def test_notches_are_cut_from_the_edge_and_stop_before_the_seam() -> None:
    for panel in CLOSED_FORM.panels:
        edge = body(panel).boundary
        seam = LineString(dict(panel.seams)["saddle"])
        for notch in panel.notches:
            left, tip, right = notch_triangle(panel, notch)
            middle = Point((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
            assert edge.distance(middle) < 1e-6
            depth = seam.distance(Point(tip))
            assert depth == pytest.approx(0.4 * FABRIC.seam_allowance, rel=0.05)
            assert math.dist(left, right) == pytest.approx(0.005)


def test_centre_marks_stand_where_crown_invert_and_flanks_lie() -> None:
    girth = math.pi * 0.2
    main, branch = all_collars()["two"].panels
    found = {(round(m.line[0][0], 6), m.name) for m in centre_marks(main)}
    shares = {-0.5: "invert", -0.25: "flank", 0.0: "crown", 0.25: "flank", 0.5: "invert"}
    assert found == {(round(share * girth, 6), name) for share, name in shares.items()}
    assert [m.name for m in centre_marks(branch)] == ["heel", "flank", "crotch", "flank", "heel"]
    for mark in centre_marks(main):
        assert body(main).covers(LineString(mark.line))


def test_half_pieces_have_marks_at_the_flank_and_at_their_seams() -> None:
    names = {p.name: [m.name for m in centre_marks(p)] for p in all_collars()["four"].panels}
    assert sorted(names["main left"]) == ["crown", "crown", "flank", "flank", "invert", "invert"]
    assert names["main left"] == names["main right"][::-1]
    assert names["branch left"] == names["branch right"] == ["flank"]
    left = all_collars()["halves"].panels[0]
    assert sorted(m.name for m in centre_marks(left)).count("flank") == 3


def test_a_strip_without_free_edges_has_no_centre_marks() -> None:
    (edge,) = (p for p in all_collars()["strip"].panels if p.name == "edge")
    assert centre_marks(edge) == ()


def test_the_mirrored_piece_is_marked_in_the_mirror() -> None:
    left = all_collars()["four"].panels[0]
    right = mirrored(left, "main right")
    ours, theirs = (drawn(p, collar_of((left, right))) for p in (left, right))
    tips = [
        [
            (round(s.points[1][0], 9), round(s.points[1][1], 9))
            for s in made.strokes
            if s.layer == "notch"
        ]
        for made in (ours, theirs)
    ]
    assert [(-x, y) for x, y in tips[0]] == tips[1]


def test_moving_a_drawing_turns_its_words_with_it() -> None:
    made = drawn(CLOSED_FORM.panels[1], CLOSED_FORM)
    moved = made.moved(1.0, 2.0, rotation=math.pi)
    (x, y), (u, v) = made.words[0].at, moved.words[0].at
    assert (u, v) == pytest.approx((1.0 - x, 2.0 - y))
    assert moved.words[0].turn == made.words[0].turn + math.pi
    assert {s.layer for s in made.strokes} <= set(LAYERS)


def test_pieces_in_a_row_stand_apart_at_one_level() -> None:
    row = side_by_side([drawn(p, CLOSED_FORM) for p in CLOSED_FORM.panels])
    bounds = [piece.bounds() for piece in row]
    assert bounds[0][0] == pytest.approx(0.0)
    assert bounds[1][0] - bounds[0][2] == pytest.approx(0.05)
    assert [b[1] for b in bounds] == pytest.approx([0.0, 0.0])


def test_the_check_scale_is_100_mm() -> None:
    lengths = [LineString(s.points).length for s in check_scale(0.3, -0.05).strokes]
    assert max(lengths) == pytest.approx(0.1)
