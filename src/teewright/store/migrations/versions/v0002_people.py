"""People who sign in, attachments of the log, and answers that were given to writes."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_TRIGGERS = (
    """CREATE TRIGGER attachment_no_update BEFORE UPDATE ON attachment
    BEGIN SELECT RAISE(ABORT, 'attachments are kept as they are'); END""",
    """CREATE TRIGGER attachment_no_delete BEFORE DELETE ON attachment
    BEGIN SELECT RAISE(ABORT, 'attachments are kept as they are'); END""",
)


def upgrade() -> None:
    """From the first schema to the one with people, attachments and answers."""
    _people()
    op.create_table(
        "attachment",
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("media_type", sa.Text, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sa.Column("added", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_attachment"),
        sqlite_strict=True,
    )
    op.create_table(
        "answer",
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("request", sa.Text, nullable=False),
        sa.Column("status", sa.Integer, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_answer"),
        sqlite_strict=True,
    )
    for trigger in _TRIGGERS:
        op.execute(trigger)


def _people() -> None:
    op.create_table(
        "person",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("secret", sa.Text, nullable=False),
        sa.Column("added", sa.Text, nullable=False),
        sa.Column("removed", sa.Text),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("name", name="uq_person_name"),
        sa.CheckConstraint(
            "role IN ('engineer', 'crew', 'inspector', 'client')", name=op.f("ck_person_role")
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "session",
        sa.Column("token_sha256", sa.Text, nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("created", sa.Text, nullable=False),
        sa.Column("expires", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("token_sha256", name="pk_session"),
        sa.ForeignKeyConstraint(["person"], ["person.id"], name="fk_session_person_person"),
        sqlite_strict=True,
    )
