"""When each person signed in last."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """From the schema with people to the one that tells when each signed in last."""
    op.create_table(
        "signed_in",
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("person", name="pk_signed_in"),
        sa.ForeignKeyConstraint(["person"], ["person.id"], name="fk_signed_in_person_person"),
        sqlite_strict=True,
    )
