"""The server: routes, guards and the one project behind them."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import Depends, FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from teewright import __version__
from teewright.errors import TeewrightError
from teewright.web import api, pages, problems
from teewright.web.assets import UNDER, assets
from teewright.web.guard import guard
from teewright.web.guard.csrf import checked
from teewright.web.office import Office
from teewright.web.settings import Settings


def make_app(settings: Settings, office: Office | None = None) -> FastAPI:
    """The server of one project.

    Args:
        settings: How it is served.
        office: The project, opened already, which the server closes; None to open it here.

    Raises:
        InputError: The project file is none.
        StoreError: It cannot be opened.
    """
    office = Office(settings) if office is None else office

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        office.answers()
        yield
        office.close()

    app = FastAPI(
        title="Teewright",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/v1/openapi.json",
        description=api.DESCRIPTION,
        openapi_tags=api.TAGS,
        dependencies=[Depends(checked)],
        lifespan=lifespan,
    )
    app.state.office = office
    guard(app, office)
    app.add_exception_handler(TeewrightError, problems.of_package)
    app.add_exception_handler(HTTPException, problems.of_http)
    app.add_exception_handler(RequestValidationError, problems.of_request)
    app.mount(UNDER, assets(), name="static")
    app.include_router(api.router)
    app.include_router(pages.router)
    api.describe(app)
    return app
