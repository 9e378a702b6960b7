"""Files that are made beside the project."""

from contextlib import suppress
from pathlib import Path

from teewright.errors import StoreError


def put(path: Path, data: bytes) -> None:
    """Put a file in place of the last one, whole or not at all.

    Args:
        path: Where.
        data: What.

    Raises:
        StoreError: It cannot be written; the last one is still there.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    except OSError as error:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise StoreError(f"{path.name} cannot be written: {error.strerror}.") from error
