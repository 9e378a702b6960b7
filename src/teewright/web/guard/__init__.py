"""Who may ask, from where, how much at once: everything that stands before a page."""

from fastapi import FastAPI

from teewright.web.guard.door import Door
from teewright.web.guard.headers import Headed
from teewright.web.guard.limits import BodyLimit
from teewright.web.guard.once import Once
from teewright.web.guard.packing import Packed
from teewright.web.guard.sessions import Sessions
from teewright.web.guard.signin import SignIn
from teewright.web.office import Office


def guard(app: FastAPI, office: Office) -> None:
    """Put the guards before an application, the first to be asked last here.

    Args:
        app: The application.
        office: The project, which keeps people, sessions and answers.
    """
    settings, kept = office.settings, Sessions(office.desk)
    app.state.sessions = kept
    app.state.sign_in = SignIn(office.desk, kept)
    app.add_middleware(Once, desk=office.desk)
    app.add_middleware(Door, settings=settings, kept=kept)
    app.add_middleware(BodyLimit, largest=settings.largest_upload)
    app.add_middleware(Headed, settings=settings)
    app.add_middleware(Packed)
