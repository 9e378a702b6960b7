"""Pages from templates: texts, units, and the head and foot that all have."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape

from teewright.web.assets import assets
from teewright.web.quantities import System, quantity
from teewright.web.texts import text
from teewright.web.wording import told

ROOMS = (
    "survey", "needs", "collars", "day", "programme", "clock", "proof", "handover", "price",
)  # fmt: skip
"""The questions, in the order of the job."""
_FIRST = ("base.html", "job.html")
TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True, slots=True)
class Frame:
    """Head and foot of one page.

    Attributes:
        room: Which question the page answers.
        answer: The answer, large.
        crumbs: (words, address) of the places above this one; the last has no address.
        title: Name of the job.
        place: Town or district.
        fingerprint: Of the inputs.
        invented: Whether the data are invented.
        read: Whether a survey is read.
        changed: Whether the inputs changed since collars were designed.
    """

    room: str
    answer: str
    crumbs: tuple[tuple[str, str], ...] = ()
    title: str = ""
    place: str = ""
    fingerprint: str = ""
    invented: bool = False
    read: bool = False
    changed: bool = False


@lru_cache(maxsize=1)
def environment() -> Environment:
    """Templates, with everything that they may call."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=select_autoescape(default=True, default_for_string=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(t=text, rooms=ROOMS)
    return made


def prepare() -> None:
    """Compile the templates, that of the first page first: each takes some 10 ms, but only once."""
    templates = environment()
    for name in sorted(templates.list_templates(), key=lambda name: name not in _FIRST):
        templates.get_template(name)


def wants_page(request: Request) -> bool:
    """Whether a person asks, not a program."""
    return not request.url.path.startswith("/api/") and "text/html" in request.headers.get(
        "accept", ""
    )


def is_part(request: Request) -> bool:
    """Whether only a part of the page is asked for, by a script of the page itself."""
    return request.headers.get("hx-request") == "true"


def system_of(request: Request) -> System:
    """Units that the reader chose."""
    return System.US if request.cookies.get("units") == System.US else System.METRIC


def given_words(request: Request) -> frozenset[str]:
    """Words of the user that no change of units may touch; none where nothing is changed."""
    if system_of(request) is System.METRIC:
        return frozenset()
    found: frozenset[str] = request.app.state.office.words_given()
    return found


def allowed(request: Request) -> Callable[[str], bool]:
    """Whether who asks may send a form there: what would be refused is not offered.

    Args:
        request: What was asked.
    """
    person = getattr(request.state, "person", None)
    return lambda path: person is None or bool(person.may_send(path))


def page(
    request: Request,
    template: str,
    values: Mapping[str, Any],
    *,
    frame: Frame | None = None,
    status: int = 200,
) -> HTMLResponse:
    """A page.

    Args:
        request: What was asked.
        template: Name of the template.
        values: What it shows.
        frame: Head and foot; None for a bare page or a part of one.
        status: HTTP status.
    """
    system = system_of(request)
    body = (
        environment()
        .get_template(template)
        .render(
            **values,
            frame=frame,
            request=request,
            night=request.cookies.get("sheet") == "night",
            units=system,
            static=assets().address,
            q=lambda value, unit, digits=None: quantity(value, unit, system, digits=digits),
            u=lambda sentence: told(sentence, system, given_words(request)),
            person=getattr(request.state, "person", None),
            can=allowed(request),
            csrf=getattr(request.state, "csrf", ""),
        )
    )
    return HTMLResponse(body, status_code=status)
