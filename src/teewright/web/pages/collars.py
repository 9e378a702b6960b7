"""All collars of the job: what is cut, what it serves, how it lands, and what gets none."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup

from teewright.collar.values import Collar
from teewright.job.values import Design, Designs
from teewright.report.figures.panels import bounds
from teewright.report.pen import number
from teewright.web import collar_drawn, cuttings
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.guard.roles import may
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.render import page
from teewright.web.texts import text
from teewright.web.window_bars import WindowBar, drawn

router = APIRouter()
HALF = 48.0
"""Width of the widest piece in the column of the drawings [%]."""


@dataclass(frozen=True, slots=True)
class Line:
    """One pattern of the list.

    Attributes:
        collar: It.
        drawn: Its pieces, small.
        connections: That it serves.
        tightest: The limit with the least room.
        used: How much of it is used, in words.
        bar: The same, drawn.
    """

    collar: Collar
    drawn: tuple[Markup, ...]
    connections: tuple[str, ...]
    tightest: str
    used: str
    bar: Markup


@router.get("/collars")
def collars(request: Request, known: WhatIsKnown, office: TheOffice, asker: WhoAsks) -> Response:
    """How is each collar made, and how does it land?"""
    designs = known.designs
    values = {
        "designs": designs,
        "lines": lines(designs) if designs else (),
        "task": office.tasks.to_show("design", cuttings.NAME),
        "cut": cuttings.kept(office, known) is not None,
        "cutting": office.tasks.running(cuttings.NAME) is not None,
        "may_cut": may(asker, "POST", "/collars/-/cutting"),
        "problem": known.problem,
        "read": known.loaded is not None,
    }
    return page(request, "collars.html", values, frame=frame_of(known, "collars", answer(known)))


@router.post("/collars/-/cutting")
def make_cutting(known: WhatIsKnown, office: TheOffice) -> RedirectResponse:
    """Begin to make the cutting files."""
    cuttings.begin(office, known)
    return RedirectResponse("/collars", status_code=303)


def answer(known: Known) -> str:
    """How many collars there are, one sentence."""
    if known.designs is None:
        return text("collars.answer_open" if known.loaded else "collars.answer_empty")
    made, refused = known.designs.designs, len(known.designs.refusals)
    if not made:
        return text("collars.answer_unmade", n=refused) if refused else text("collars.answer_none")
    patterns = len({design.collar.pattern for design in made})
    served = text("collars.answer", n=patterns, served=text("collars.served", n=len(made)))
    if not refused:
        return served
    return f"{served}; {text('collars.answer_refused', n=refused)}"


def lines(designs: Designs) -> tuple[Line, ...]:
    """One line for each pattern."""
    served: dict[str, list[Design]] = {}
    for design in designs.designs:
        served.setdefault(design.collar.pattern, []).append(design)
    names = sorted(served, key=lambda name: (len(name), name))
    collars = {name: served[name][0].collar for name in names}
    widest = max((_width(collar) for collar in collars.values()), default=1.0)
    return tuple(_line(collars, name, served[name], widest) for name in names)


def _width(collar: Collar) -> float:
    return max(bounds(panel.cut).width for panel in collar.panels)


def _line(collars: Mapping[str, Collar], name: str, served: list[Design], widest: float) -> Line:
    collar = collars[name]
    worst = min(collar.landing.limits, key=lambda limit: limit.margin)
    used = 1.0 - worst.margin
    said = text("collars.used", share=number(round(100.0 * used)))
    bar = WindowBar(
        name=f"{worst.name}: {said}",
        ends=(0.0, max(1.25, used)),
        write=lambda v: f"{100.0 * v:.0f}\u00a0%",
        most=1.0,
        at=used,
    )
    return Line(
        collar=collar,
        drawn=collar_drawn.outline(collar.panels, widest, HALF),
        connections=tuple(design.connection_id for design in served),
        tightest=worst.name,
        used=said,
        bar=drawn(bar),
    )
