"""How the pages are served."""

from dataclasses import dataclass, field
from pathlib import Path

PORT = 8317
"""Port on which the pages are served, unless another is asked for."""
LARGEST_UPLOAD = 64 * 2**20
"""Largest body of a request [bytes]."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How the pages are served.

    Attributes:
        project: Path of the project file.
        hosts: Names under which the server may be asked for; any other is refused.
        sign_in: Whether people must sign in; never needed where only this machine can ask.
        secure: Whether the pages are served over HTTPS.
        largest_upload: Largest body of a request [bytes].
        quick: Whether collars are made without their placement tolerance.
    """

    project: Path
    hosts: tuple[str, ...] = ("localhost", "127.0.0.1", "[::1]")
    sign_in: bool = False
    secure: bool = False
    largest_upload: int = LARGEST_UPLOAD
    quick: bool = field(default=False)
