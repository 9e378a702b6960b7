"""The cutting files of all patterns as one zip: made in the background, kept beside the project."""

import hashlib
import io
import zipfile
from pathlib import Path

from starlette.exceptions import HTTPException

from teewright import __version__
from teewright.bench.cutting import PACK_PAPER, collar_files
from teewright.job.values import Designs
from teewright.web.beside import put
from teewright.web.office import Known, Office
from teewright.web.tasks import Task, Told
from teewright.web.texts import text

NAME = "cutting"
"""Name of the task that makes them."""
NOT_YET = "There are no collars yet: begin the task `design`."


def cutting_path(office: Office) -> Path:
    """Where they lie: beside the project file."""
    project = office.settings.project
    return project.with_name(f"{project.stem}-cutting.zip")


def begin(office: Office, known: Known) -> Task:
    """Begin to make them; what is being made already is given back.

    Raises:
        HTTPException: 409, nothing is designed yet.
    """
    designs = designed(known)
    mark = _mark(known)
    return office.tasks.start(NAME, lambda tell: _build(office, designs, mark, tell))


def kept(office: Office, known: Known) -> Path | None:
    """The file that lies beside the project, where it is of the collars as they are now."""
    path = cutting_path(office)
    try:
        with zipfile.ZipFile(path) as found:
            return path if found.comment == _mark(known) else None
    except (OSError, zipfile.BadZipFile):
        return None


def zipped(designs: Designs, paper: str, tell: Told, *, mark: bytes = b"") -> bytes:
    """The zip: DXF, SVG of each piece and PDF at 1:1 of each pattern.

    Args:
        designs: The collars.
        paper: Of the tiles.
        tell: Told before each pattern what is being done.
        mark: What is said of the zip in itself.
    """
    collars = {d.collar.pattern: d.collar for d in designs.designs}
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.comment = mark
        for number, collar in enumerate(collars.values(), 1):
            tell(text("collars.cutting", pattern=collar.pattern, at=number, n=len(collars)))
            for name, data in collar_files(collar, paper):
                archive.writestr(name, data)
    return held.getvalue()


def designed(known: Known) -> Designs:
    """The collars.

    Raises:
        HTTPException: 409, nothing is designed yet.
    """
    if known.designs is None:
        raise HTTPException(409, NOT_YET)
    return known.designs


def _build(office: Office, designs: Designs, mark: bytes, tell: Told) -> None:
    """Make them and put them in place of the last ones, whole or not at all."""
    put(cutting_path(office), zipped(designs, PACK_PAPER, tell, mark=mark))


def _mark(known: Known) -> bytes:
    """From what they are made: version, inputs, and how finely the collars were made."""
    made = known.designs.designs if known.designs else ()
    finely = [design.collar.tolerance is not None for design in made]
    told = f"{__version__} {known.inputs.fingerprint} {PACK_PAPER} {finely}"
    return hashlib.sha256(told.encode()).hexdigest().encode()
