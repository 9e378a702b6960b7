import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from teewright.errors import GeometryError, RangeError
from teewright.hydraulics.part_full import manning_flow, part_full
from teewright.hydraulics.storage import (
    PACKER,
    PoolNode,
    PoolPipe,
    Upstream,
    node_volume,
    normal_depth,
    pipe_volume,
    pool_volume,
    segment_area,
    segment_integral,
    upstream_of,
)

PIPE = PoolPipe("M1", PACKER, 0.3, 40.0, 10.2, 10.0)
NODE = PoolNode("M1", 10.5, 13.0, 0.8)
DRY = np.zeros(())


def tree() -> tuple[list[PoolPipe], list[PoolNode]]:
    pipes = [
        PoolPipe("M3", "M1", 0.2, 30.0, 10.5, 10.3, share=0.4),
        PoolPipe("M2", "M1", 0.2, 50.0, 10.6, 10.2, share=0.6),
        PIPE,
    ]
    return pipes, [NODE, PoolNode("M2", 10.8, 13.1, 0.8), PoolNode("M3", 10.7, 12.9, 0.8)]


def area(depth: float, diameter: float) -> float:
    """By the hydraulic elements of the part-full module, which share no step with these."""
    ratio = min(max(depth / diameter, 0.0), 1.0)
    return part_full(ratio).area * math.pi * diameter**2 / 4.0


@given(st.floats(0.0, 0.5), st.floats(0.1, 0.5))
@settings(max_examples=60, deadline=None)
def test_area_is_that_of_the_hydraulic_elements(depth: float, d: float) -> None:
    assert float(segment_area(np.array(depth), d)) == pytest.approx(area(depth, d), abs=1e-9)


def test_integral_of_the_area() -> None:
    r = 0.15
    for depth in (0.01, 0.1, 0.15, 0.27, 0.3):
        exact, _ = quad(area, 0.0, depth, args=(0.3,), epsabs=1e-12)
        assert float(segment_integral(np.array(depth), 0.3)) == pytest.approx(exact, rel=1e-7)
    assert float(segment_integral(np.array(0.3), 0.3)) == pytest.approx(math.pi * r**3)
    over = segment_integral(np.array(0.5), 0.3) - segment_integral(np.array(0.3), 0.3)
    assert float(over) == pytest.approx(math.pi * r**2 * 0.2)


@given(st.floats(9.9, 11.0), st.floats(0.0, 0.25), st.floats(1e-5, 0.1))
@settings(max_examples=60, deadline=None)
def test_volume_of_a_pipe_is_the_sum_of_its_sections(
    level: float, before: float, slope: float
) -> None:
    pipe = PoolPipe("M1", PACKER, 0.3, 40.0, 10.0 + 40.0 * slope, 10.0)
    n = 20000
    x = (np.arange(n) + 0.5) * pipe.length / n
    depth = np.maximum(level - pipe.invert_downstream - slope * x, before)
    sections = segment_area(depth, 0.3) - float(segment_area(np.array(before), 0.3))
    found = float(pipe_volume(pipe, np.array(level), np.array(before)))
    # 1e-6 m3: the sections' own error where the pool ends inside one of them
    assert found == pytest.approx(sections.sum() * pipe.length / n, rel=1e-5, abs=1e-6)


def test_full_and_empty() -> None:
    full = math.pi * 0.15**2 * 40.0
    assert float(pipe_volume(PIPE, np.array(11.0), DRY)) == pytest.approx(full)
    assert float(pipe_volume(PIPE, np.array(10.0), DRY)) == 0.0
    assert float(pipe_volume(PIPE, np.array(11.0), np.array(0.3))) == pytest.approx(0.0, abs=1e-12)
    level = PoolPipe("M1", PACKER, 0.3, 40.0, 10.0, 10.0)
    assert float(pipe_volume(level, np.array(10.15), DRY)) == pytest.approx(full / 2.0)


def test_a_manhole_holds_from_its_floor_to_its_rim() -> None:
    found = node_volume(NODE, np.array([10.0, 10.5, 11.5, 13.0, 14.0]))
    assert found == pytest.approx([0.0, 0.0, 0.8, 2.0, 2.0])


def test_the_pool_of_a_tree_is_the_sum_of_its_parts_and_never_falls() -> None:
    upstream = upstream_of(*tree())
    assert upstream.pipes[0] is PIPE
    assert (upstream.invert, upstream.lowest_rim) == (10.0, 12.9)
    levels = np.linspace(9.9, 13.5, 2001)
    volume = pool_volume(upstream, levels)
    parts = [pipe_volume(pipe, levels, DRY) for pipe in upstream.pipes]
    parts += [node_volume(node, levels) for node in upstream.nodes]
    assert volume == pytest.approx(np.sum(parts, axis=0))
    assert (np.diff(volume) >= -1e-12).all()  # rounding, over pipes that are full


@pytest.mark.parametrize("ratio", [0.1, 0.3, 0.5, 0.8])
def test_normal_depth_carries_its_flow(ratio: float) -> None:
    flow = part_full(ratio).flow * manning_flow(0.3, PIPE.slope, PIPE.manning)
    # 0.5 % of the diameter: the table of depths is read straight between its rows
    assert float(normal_depth(PIPE, np.array(flow))) == pytest.approx(0.3 * ratio, abs=0.0015)


def test_a_branch_of_the_tree_carries_its_share() -> None:
    branch, whole = tree()[0][0], replace(tree()[0][0], share=1.0)
    depth = float(normal_depth(branch, np.array(0.01)))
    assert depth == pytest.approx(float(normal_depth(whole, np.array(0.004))))
    assert depth < float(normal_depth(whole, np.array(0.01)))


def test_a_flow_that_the_pipe_cannot_carry_fills_it() -> None:
    assert float(normal_depth(PIPE, np.array(1.0))) == 0.3
    level = PoolPipe("M1", PACKER, 0.3, 40.0, 10.0, 10.0)
    assert normal_depth(level, np.array([0.0, 0.001])) == pytest.approx([0.0, 0.3])


def broken(name: str) -> tuple[list[PoolPipe], list[PoolNode]]:
    pipes, nodes = tree()
    if name == "against":
        pipes[1] = PoolPipe("M2", "M1", 0.2, 50.0, 10.1, 10.2)
    elif name == "no packer":
        pipes[2] = PoolPipe("M1", "M2", 0.3, 40.0, 10.2, 10.0)
    elif name == "no manhole":
        nodes = nodes[:2]
    elif name == "loop":
        pipes += [
            PoolPipe("A", "B", 0.2, 9.0, 11.0, 11.0),
            PoolPipe("B", "A", 0.2, 9.0, 11.0, 11.0),
        ]
        nodes += [PoolNode("A", 11.0, 13.0, 1.0), PoolNode("B", 11.0, 13.0, 1.0)]
    elif name == "twice":
        nodes.append(nodes[0])
    elif name == "sill":
        pipes[0] = PoolPipe("M3", "M1", 0.2, 30.0, 10.5, 10.1)
    else:
        nodes[0] = PoolNode("M1", 10.5, 10.4, 0.8)
    return pipes, nodes


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("against", "against the flow"),
        ("no packer", "0 pipes end at the packer"),
        ("no manhole", "belong together at M3"),
        ("loop", "does not drain"),
        ("twice", "named twice"),
        ("sill", "below the outgoing pipe"),
        ("rim", "not above its floor"),
    ],
)
def test_what_is_no_tree_is_refused(name: str, what: str) -> None:
    with pytest.raises(GeometryError, match=what):
        upstream_of(*broken(name))


def test_sizes_outside_the_range_are_refused() -> None:
    with pytest.raises(RangeError, match="diameter"):
        upstream_of([PoolPipe("M1", PACKER, 9.0, 40.0, 10.2, 10.0)], [NODE])
    assert isinstance(upstream_of([PIPE], [NODE]), Upstream)
