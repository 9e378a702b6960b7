"""Tables of the project file, as they are after the newest migration.

The log is append-only: triggers, made by the migrations, refuse every UPDATE and DELETE on
`event` and every INSERT that does not continue the chain.
"""

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

REVISION = "0003"
"""Newest revision of the schema; a file with a higher one was made by a newer version."""
APPLICATION_ID = 0x54656557
"""Number in the header of an SQLite file that marks it as a project file."""
KINDS = ("survey", "kit", "site", "option")
"""Kinds of document."""
ROLES = ("engineer", "crew", "inspector", "client")
"""What a person may be in a project; the first decides who else may sign in."""

METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    }
)

PROJECT = Table(
    "project",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("title", Text, nullable=False),
    Column("created", Text, nullable=False),
    Column("tool_version", Text, nullable=False),
    CheckConstraint("id = 1", name="one_row"),
    sqlite_strict=True,
)

DOCUMENT = Table(
    "document",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("sha256", Text, nullable=False),
    Column("data", LargeBinary, nullable=False),
    Column("added", Text, nullable=False),
    Column("removed", Text),
    UniqueConstraint("kind", "name", "version"),
    CheckConstraint("kind IN ('survey', 'kit', 'site', 'option')", name="kind"),
    sqlite_strict=True,
)

RESULT = Table(
    "result",
    METADATA,
    Column("step", Text, primary_key=True),
    Column("made", Text, nullable=False),
    Column("fingerprint", Text, nullable=False),
    Column("json", Text, nullable=False),
    sqlite_strict=True,
)

EVENT = Table(
    "event",
    METADATA,
    Column("ordinal", Integer, primary_key=True),
    Column("id", Text, nullable=False),
    Column("installation", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("recorded", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("sequence", Integer, nullable=False),
    Column("person", Text, nullable=False),
    Column("data", Text, nullable=False),
    Column("previous", Text, nullable=False),
    Column("hash", Text, nullable=False),
    UniqueConstraint("id"),
    UniqueConstraint("hash"),
    Index(None, "installation"),
    sqlite_strict=True,
)

PERSON = Table(
    "person",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("role", Text, nullable=False),
    Column("secret", Text, nullable=False),
    Column("added", Text, nullable=False),
    Column("removed", Text),
    UniqueConstraint("name"),
    CheckConstraint("role IN ('engineer', 'crew', 'inspector', 'client')", name="role"),
    sqlite_strict=True,
)

SESSION = Table(
    "session",
    METADATA,
    Column("token_sha256", Text, primary_key=True),
    Column("person", ForeignKey("person.id"), nullable=False),
    Column("created", Text, nullable=False),
    Column("expires", Text, nullable=False),
    sqlite_strict=True,
)

SIGNED_IN = Table(
    "signed_in",
    METADATA,
    Column("person", ForeignKey("person.id"), primary_key=True),
    Column("at", Text, nullable=False),
    sqlite_strict=True,
)
"""When each signed in last."""

ATTACHMENT = Table(
    "attachment",
    METADATA,
    Column("sha256", Text, primary_key=True),
    Column("media_type", Text, nullable=False),
    Column("data", LargeBinary, nullable=False),
    Column("added", Text, nullable=False),
    sqlite_strict=True,
)

ANSWER = Table(
    "answer",
    METADATA,
    Column("key", Text, primary_key=True),
    Column("request", Text, nullable=False),
    Column("status", Integer, nullable=False),
    Column("body", Text, nullable=False),
    Column("made", Text, nullable=False),
    sqlite_strict=True,
)
