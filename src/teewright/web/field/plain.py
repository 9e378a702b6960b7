"""What is served in the clear beside the pages: how to trust them, and the certificate.

Nothing of the job is here.
"""

from dataclasses import dataclass

import segno
from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from teewright.web.assets import UNDER, assets
from teewright.web.field.authority import Authority
from teewright.web.guard.headers import Headed
from teewright.web.render import page
from teewright.web.settings import Settings


@dataclass(frozen=True, slots=True)
class Place:
    """Where everything is found from one network.

    Attributes:
        trust: Address of the page that tells how to trust.
        open: Address of the pages.
    """

    trust: str
    open: str


def places(hosts: tuple[str, ...], port: int, trust_port: int) -> tuple[Place, ...]:
    """Where everything is found under each address of this machine.

    Args:
        hosts: Addresses and names.
        port: Of the pages.
        trust_port: Of the page that tells how to trust them.
    """
    written = [f"[{host}]" if ":" in host else host for host in hosts]
    return tuple(Place(f"http://{h}:{trust_port}/", f"https://{h}:{port}/") for h in written)


def make_plain_app(settings: Settings, known: Authority, found: tuple[Place, ...]) -> FastAPI:
    """The server in the clear.

    Args:
        settings: How the pages are served; its hosts are answered here too.
        known: The authority to be trusted.
        found: Where everything is found.
    """
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.add_middleware(Headed, settings=settings)
    app.mount(UNDER, assets(), name="static")

    @app.get("/")
    def trust(request: Request) -> Response:
        """How a tablet comes to trust this machine."""
        here = request.headers.get("host", "")
        pages = next((p.open for p in found if p.trust == f"http://{here}/"), found[0].open)
        values = {"fingerprint": known.fingerprint, "open": pages}
        return page(request, "field_trust.html", values)

    @app.get("/field")
    def codes(request: Request) -> Response:
        """Codes for tablets, on the screen of this machine."""
        shown = [(p, code(p.trust), code(p.open)) for p in found]
        values = {"fingerprint": known.fingerprint, "places": shown}
        return page(request, "field.html", values)

    @app.get("/field/ca.pem")
    def certificate() -> Response:
        """The certificate of the authority, as the settings of a tablet take it."""
        return Response(
            known.certificate,
            media_type="application/x-x509-ca-cert",
            headers={"Content-Disposition": 'attachment; filename="teewright-ca.pem"'},
        )

    return app


def code(address: str) -> Markup:
    """An address as a code for the camera of a tablet."""
    made = segno.make(address, error="m", micro=False)
    # made of squares only; the address does not stand in it as text
    drawn = made.svg_inline(border=4, dark="#000", light="#fff", omitsize=True, svgclass="code")
    return Markup(drawn)
