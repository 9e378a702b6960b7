import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, text

from teewright.errors import StoreError
from teewright.store.engine import plain_errors
from teewright.store.migrate import MIGRATIONS, schema_revision, upgrade
from teewright.store.project import Project
from teewright.store.schema import APPLICATION_ID, METADATA, REVISION


def migrated_tables(path: Path) -> dict[str, set[str]]:
    """Words of each CREATE TABLE: names, types, constraints, in whatever order."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name != 'alembic_version'"
        ).fetchall()
    return {name: {line.strip(" ,\t") for line in sql.splitlines()} for name, sql in rows}


def test_models_equal_the_migrated_schema(tmp_path: Path) -> None:
    with Project.create(tmp_path / "job") as project, project.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []
    engine = create_engine(f"sqlite:///{tmp_path / 'models'}")
    METADATA.create_all(engine)
    engine.dispose()
    assert migrated_tables(tmp_path / "job") == migrated_tables(tmp_path / "models")


def test_revision_is_the_head_of_the_migrations() -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.set_main_option("path_separator", "os")
    assert ScriptDirectory.from_config(config).get_heads() == [REVISION]


def test_every_revision_is_newer_than_the_one_before() -> None:
    """Revisions are compared as text to tell a newer file from an older one."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.set_main_option("path_separator", "os")
    for script in ScriptDirectory.from_config(config).walk_revisions():
        before = script.down_revision
        assert before is None or (isinstance(before, str) and before < script.revision)


def test_a_failed_migration_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "job"

    def build_anew_and_fail(project: Project) -> None:
        with project.transaction():
            connection = project._connection
            for name in (*reversed(METADATA.sorted_tables), "alembic_version"):
                connection.exec_driver_sql(f"DROP TABLE {name}")
            assert schema_revision(connection) == ""
            upgrade(connection)
            assert schema_revision(connection) == REVISION
            raise RuntimeError

    with Project.create(path, title="still here") as project:
        with pytest.raises(RuntimeError):
            build_anew_and_fail(project)
        assert project.about().title == "still here"


def test_settings_of_the_file_and_the_connection(tmp_path: Path) -> None:
    with Project.create(tmp_path / "job") as project, project.reading() as connection:

        def pragma(name: str) -> object:
            return connection.execute(text(f"PRAGMA {name}")).scalar()

        assert pragma("journal_mode") == "wal"
        assert pragma("synchronous") == 2  # FULL
        assert pragma("foreign_keys") == 1
        assert pragma("application_id") == APPLICATION_ID
        assert pragma("integrity_check") == "ok"
        strict = connection.execute(
            text("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'")
        ).all()
    assert {name for name, is_strict in strict if is_strict} == set(METADATA.tables)


def test_errors_of_sqlite_become_one_sentence(tmp_path: Path) -> None:
    def select_from_nothing() -> None:
        with plain_errors(tmp_path / "job"), closing(sqlite3.connect(":memory:")) as connection:
            connection.execute("SELECT * FROM absent")

    with pytest.raises(StoreError, match=r"^job: no such table: absent\.$"):
        select_from_nothing()
