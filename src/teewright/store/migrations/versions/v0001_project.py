"""Project, documents, results and the append-only log."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_TRIGGERS = (
    """CREATE TRIGGER event_no_update BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'the log is append-only: no event is changed'); END""",
    """CREATE TRIGGER event_no_delete BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'the log is append-only: no event is removed'); END""",
    # REPLACE would remove a row without firing the trigger on DELETE: hence the id here
    """CREATE TRIGGER event_in_order BEFORE INSERT ON event
    WHEN NEW.ordinal IS NOT (SELECT coalesce(max(ordinal), 0) + 1 FROM event)
      OR NEW.previous IS NOT coalesce(
        (SELECT hash FROM event ORDER BY ordinal DESC LIMIT 1),
        '0000000000000000000000000000000000000000000000000000000000000000')
      OR EXISTS (SELECT 1 FROM event WHERE id = NEW.id OR hash = NEW.hash)
    BEGIN SELECT RAISE(ABORT, 'the log is append-only: the event does not continue it'); END""",
)


def upgrade() -> None:
    """From an empty file to the first schema."""
    _project_and_documents()
    _results_and_events()
    for trigger in _TRIGGERS:
        op.execute(trigger)


def _project_and_documents() -> None:
    op.create_table(
        "project",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("created", sa.Text, nullable=False),
        sa.Column("tool_version", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_project"),
        sa.CheckConstraint("id = 1", name=op.f("ck_project_one_row")),
        sqlite_strict=True,
    )
    op.create_table(
        "document",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sa.Column("added", sa.Text, nullable=False),
        sa.Column("removed", sa.Text),
        sa.PrimaryKeyConstraint("id", name="pk_document"),
        sa.UniqueConstraint("kind", "name", "version", name="uq_document_kind_name_version"),
        sa.CheckConstraint(
            "kind IN ('survey', 'kit', 'site', 'option')", name=op.f("ck_document_kind")
        ),
        sqlite_strict=True,
    )


def _results_and_events() -> None:
    op.create_table(
        "result",
        sa.Column("step", sa.Text, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.Column("fingerprint", sa.Text, nullable=False),
        sa.Column("json", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("step", name="pk_result"),
        sqlite_strict=True,
    )
    texts = ("id", "installation", "kind", "at", "recorded", "device")
    op.create_table(
        "event",
        sa.Column("ordinal", sa.Integer, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in texts),
        sa.Column("sequence", sa.Integer, nullable=False),
        *(
            sa.Column(name, sa.Text, nullable=False)
            for name in ("person", "data", "previous", "hash")
        ),
        sa.PrimaryKeyConstraint("ordinal", name="pk_event"),
        sa.UniqueConstraint("id", name="uq_event_id"),
        sa.UniqueConstraint("hash", name="uq_event_hash"),
        sqlite_strict=True,
    )
    op.create_index("ix_event_installation", "event", ["installation"])
