"""The schema of a project file: which revision it has, and bringing it up to the newest."""

from pathlib import Path

from sqlalchemy import Connection, inspect, text

from teewright.errors import StoreError
from teewright.store.schema import REVISION

MIGRATIONS = Path(__file__).parent / "migrations"


def schema_revision(connection: Connection) -> str:
    """Revision of the schema, `""` where the file has none.

    Args:
        connection: Within a transaction.
    """
    if not inspect(connection).has_table("alembic_version"):
        return ""
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return str(found or "")


def upgrade(connection: Connection) -> None:
    """Bring the schema up to `REVISION`; nothing is committed here.

    Args:
        connection: Within a transaction, which the caller ends.

    Raises:
        StoreError: No migration leads from the schema of the file to the newest.
    """
    from alembic import command  # noqa: PLC0415 -- heavy, and few files are old or new
    from alembic.config import Config  # noqa: PLC0415 -- the same
    from alembic.util import CommandError  # noqa: PLC0415 -- the same

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    try:
        command.upgrade(config, REVISION)
    except CommandError as error:
        raise StoreError(f"The schema of the project file is not known: {error}.") from error
