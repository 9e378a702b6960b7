"""Names of installations: connection id, `#`, attempt from 1."""

from teewright.errors import InputError

ALLOWED = "connection id, `#`, attempt from 1, e.g. `A-B/03#1`"


def installation_id(connection_id: str, attempt: int = 1) -> str:
    """Name of one attempt at a connection.

    Args:
        connection_id: Connection.
        attempt: Attempt, from 1.

    Raises:
        InputError: The attempt is below 1 or the connection id is empty.
    """
    if not connection_id or attempt < 1:
        raise InputError(
            "names no installation",
            field="installation",
            value=f"{connection_id}#{attempt}",
            allowed=ALLOWED,
        )
    return f"{connection_id}#{attempt}"


def split_installation(installation: str) -> tuple[str, int]:
    """Connection id and attempt of an installation.

    Args:
        installation: Connection id, `#`, attempt.

    Returns:
        (connection id, attempt).

    Raises:
        InputError: It is not written so.
    """
    connection_id, mark, attempt = installation.rpartition("#")
    if not (mark and connection_id and attempt.isascii() and attempt.isdigit()):
        raise InputError(
            "names no installation", field="installation", value=installation, allowed=ALLOWED
        )
    if attempt != str(int(attempt)) or attempt == "0":
        raise InputError(
            "has an attempt that is not a plain number from 1",
            field="installation",
            value=installation,
            allowed=ALLOWED,
        )
    return connection_id, int(attempt)
