"""Cutting files: each pattern in every form, and the whole order nested on the roll."""

import hashlib
import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from teewright import __version__
from teewright.bench.shelf import Shelf
from teewright.collar.nesting import Nest, Order, Placement, check_nest, nest
from teewright.collar.values import Collar
from teewright.errors import GeometryError, InputError
from teewright.formats.json_values import dump, load
from teewright.job.values import Job
from teewright.report.tile_grid import PAPERS

GAP = 0.006
"""Between the pieces on the roll [m]; common practice, no source: room for the blade."""
SECONDS = 5
"""Time for the search of a nest [s]."""
NESTED = "order-nested"
"""Name of the files of the nest, without their ending."""
PACK_PAPER = "A4"
"""Paper of the tiled patterns of a pack."""
_STEP = "nest"
_PAPERS = "|".join(PAPERS)
_PACK_FILE = re.compile(
    rf"P\d+(?:\.dxf|-[a-z-]+\.svg|-(?:whole|{_PAPERS})\.pdf)|{NESTED}\.(?:dxf|svg)"
)


@dataclass(frozen=True, slots=True)
class OnRoll:
    """The whole order on the roll, or why it is not there.

    Attributes:
        nest: Where each piece lies; None where there is no order or it could not be nested.
        problem: Why there is no nest though there are pieces, one sentence; else empty.
    """

    nest: Nest | None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class _Kept:
    """A nest without the outlines of its pieces, as a project keeps it.

    Attributes:
        places: (place of the piece in the order, x [m], y [m], turned end for end) of each.
        length: [m].
        utilisation: [-].
        method: As in the nest.
    """

    places: tuple[tuple[int, float, float, bool], ...]
    length: float
    utilisation: float
    method: str


def is_of_a_pack(name: str) -> bool:
    """Whether a file of that name in the folder of cutting files was written by a pack."""
    return _PACK_FILE.fullmatch(name) is not None


def collar_files(collar: Collar, paper: str) -> Iterator[tuple[str, bytes]]:
    """(name, bytes) of the cutting files of one collar: DXF, SVG of each piece, PDF at 1:1.

    Args:
        collar: The collar; its files bear the name of its pattern.
        paper: Of the tiles, as `teewright.report.tile_grid.PAPERS` names it.
    """
    from teewright.formats import cutting_dxf, cutting_svg  # noqa: PLC0415 -- heavy
    from teewright.report.tiles import tiles_pdf, whole_pdf  # noqa: PLC0415 -- the same

    name = collar.pattern
    yield f"{name}.dxf", cutting_dxf.write_collar(collar)
    for panel in collar.panels:
        text = cutting_svg.write_panel(panel, collar)
        yield f"{name}-{panel.name.replace(' ', '-')}.svg", text.encode()
    yield f"{name}-whole.pdf", whole_pdf(collar)
    yield f"{name}-{paper}.pdf", tiles_pdf(collar, paper)


def nest_files(found: Nest, collars: Sequence[Collar]) -> Iterator[tuple[str, bytes]]:
    """(name, bytes) of the files of a nest: DXF and SVG."""
    from teewright.formats import cutting_dxf, cutting_svg  # noqa: PLC0415 -- heavy

    yield f"{NESTED}.dxf", cutting_dxf.write_nest(found, collars)
    yield f"{NESTED}.svg", cutting_svg.write_nest(found, collars).encode()


def patterns(job: Job) -> tuple[Collar, ...]:
    """Each pattern once, in order of name."""
    found = {d.collar.pattern: d.collar for d in job.designs.designs}
    return tuple(found[name] for name in sorted(found, key=lambda name: (len(name), name)))


def order_of(job: Job) -> Order:
    """Every piece that must be cut for the job, and how often."""
    counts = Counter(d.collar.pattern for d in job.designs.designs)
    return tuple((p, counts[collar.pattern]) for collar in patterns(job) for p in collar.panels)


def on_roll(job: Job, project: Shelf) -> OnRoll:
    """The whole order on the roll of the kit's fabric.

    The search stops by the clock, so a nest that was found before is kept in the project: the
    same project makes the same pack.

    Args:
        job: The job.
        project: Open project file.
    """
    order, fabric = order_of(job), job.kit.fabric
    if not order:
        return OnRoll(None)
    text = repr((__version__, order, fabric.roll_width, GAP, SECONDS))
    fingerprint = hashlib.sha256(text.encode()).hexdigest()
    stored = project.result(_STEP)
    if stored is not None and stored.fingerprint == fingerprint:
        kept = load(stored.json, _Kept, file=project.path.name)
        return OnRoll(_restored(kept, order, fabric.roll_width))
    try:
        found = nest(order, roll_width=fabric.roll_width, gap=GAP, seconds=SECONDS, seed=0)
    except (InputError, GeometryError) as error:
        return OnRoll(None, str(error))
    project.put_result(_STEP, fingerprint, dump(_kept(found, order)))
    return OnRoll(found)


def _kept(found: Nest, order: Order) -> _Kept:
    index = {panel: k for k, (panel, _) in enumerate(order)}
    places = tuple((index[p.panel], p.x, p.y, p.rotation != 0.0) for p in found.placements)
    return _Kept(places, found.length, found.utilisation, found.method)


def _restored(kept: _Kept, order: Order, roll_width: float) -> Nest:
    """The nest that was kept, held against its rules again."""
    found = Nest(
        placements=tuple(
            Placement(order[k][0], x, y, math.pi if turned else 0.0)
            for k, x, y, turned in kept.places
        ),
        roll_width=roll_width,
        gap=GAP,
        length=kept.length,
        utilisation=kept.utilisation,
        method=kept.method,
    )
    check_nest(found, order)
    return found
