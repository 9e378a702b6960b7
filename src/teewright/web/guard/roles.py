"""Who may do what: one table.

What is not in the table may not be done by anyone; what only shows something may be asked for by
whoever is signed in.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from teewright.site.values import EventKind

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
"""Methods that change nothing (RFC 9110, 9.2.1)."""
KNOWN_METHODS = (*sorted(SAFE), "POST", "PUT", "PATCH", "DELETE")
"""Methods that are answered at all."""


class Role(StrEnum):
    """What a person may be in a project."""

    ENGINEER = "engineer"
    CREW = "crew"
    INSPECTOR = "inspector"
    CLIENT = "client"


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asks.

    Attributes:
        name: Short name or initials.
        role: What the person may be in this project.
        signed_in: Whether by name and password; False for who sits at this machine.
    """

    name: str
    role: Role
    signed_in: bool

    @property
    def lets_in(self) -> bool:
        """Whether who may sign in is this person's to decide."""
        return may(self, "GET", "/people")

    @property
    def decides(self) -> bool:
        """Whether this person may decide on what a test or a hold left open."""
        return may(self, "POST", "/api/v1/decisions")

    def may_send(self, path: str) -> bool:
        """Whether a form that this person sends there is not refused for who sends it.

        Args:
            path: Where the form is sent.
        """
        return may(self, "POST", path)


LOCAL = Asker("engineer", Role.ENGINEER, signed_in=False)
"""Who sits at a machine where nobody must sign in."""
ALL = frozenset(Role)
ENGINEER = frozenset({Role.ENGINEER})
SITE = frozenset({Role.ENGINEER, Role.CREW, Role.INSPECTOR})
"""Those who log what happens on site."""
ANYONE: frozenset[Role] | None = None
"""Also who is not signed in."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of the table.

    Attributes:
        methods: For which it holds.
        prefix: Path, or its first parts; the longest that fits counts.
        roles: Who may; None for anyone.
    """

    methods: frozenset[str]
    prefix: str
    roles: frozenset[Role] | None

    def fits(self, method: str, path: str) -> bool:
        """Whether it speaks of that request."""
        if method not in self.methods:
            return False
        below = self.prefix != "/" and path.startswith(f"{self.prefix}/")
        return below or path == self.prefix


_SHOW, _ACT = SAFE, frozenset(KNOWN_METHODS) - SAFE
RULES: tuple[Rule, ...] = (
    Rule(_SHOW, "/static", ANYONE),
    Rule(_SHOW | _ACT, "/sign-in", ANYONE),
    Rule(_ACT, "/sign-out", ANYONE),
    Rule(_SHOW, "/api/v1/me", ANYONE),
    Rule(_ACT, "/api/v1/session", ANYONE),
    # programs and files that browsers ask for without cookies; nothing of the job is in them
    Rule(_SHOW, "/clock/sw.js", ANYONE),
    Rule(_SHOW, "/clock/manifest.webmanifest", ANYONE),
    Rule(_ACT, "/choices", ALL),
    Rule(_SHOW | _ACT, "/me", ALL),
    Rule(_ACT, "/api/v1/me", ALL),
    # what is known of the job, for all who may sign in
    *(
        Rule(_SHOW, f"/{room}", ALL)
        for room in (
            "survey", "needs", "collars", "day", "programme", "clock", "proof", "handover",
            "price", "tasks", "api/v1",
        )
    ),
    Rule(_SHOW, "/", ALL),
    # what happens on site; which kinds of event each may log is in `LOGS`
    Rule(_ACT, "/clock", SITE),
    Rule(_ACT, "/api/v1/events", SITE),
    # everything that decides, designs or plans
    *(
        Rule(_ACT, f"/{room}", ENGINEER)
        for room in (
            "survey", "needs", "collars", "day", "programme", "proof", "handover", "price",
            "tasks", "api/v1/tasks", "api/v1/documents", "api/v1/corrections",
            "api/v1/needs", "api/v1/survey", "api/v1/collars", "api/v1/day", "api/v1/programme",
            "api/v1/pack", "api/v1/decisions",
        )
    ),
    # who may sign in is nobody else's business, not even to look at
    Rule(_SHOW | _ACT, "/people", ENGINEER),
    Rule(_SHOW | _ACT, "/api/v1/people", ENGINEER),
)  # fmt: skip
"""The table."""
LOGS: dict[Role, frozenset[EventKind]] = {
    Role.ENGINEER: frozenset(EventKind),
    Role.CREW: frozenset(EventKind),
    Role.INSPECTOR: frozenset(
        {EventKind.TEST_READING, EventKind.INSPECTED, EventKind.CORRECTED, EventKind.NOTE}
    ),
    Role.CLIENT: frozenset(),
}
"""Kinds of event that each role may log."""


def rule_of(method: str, path: str) -> Rule | None:
    """The line of the table that speaks of a request, or None.

    Args:
        method: Of the request.
        path: Of the request.
    """
    fitting = [rule for rule in RULES if rule.fits(method, path)]
    return max(fitting, key=lambda rule: len(rule.prefix), default=None)


def is_open(method: str, path: str) -> bool:
    """Whether a request is answered to who is not signed in."""
    rule = rule_of(method, path)
    return rule is not None and rule.roles is None


def may(asker: Asker, method: str, path: str) -> bool:
    """Whether a person may ask for that; without a line of the table only what is shown.

    Args:
        asker: Who asks.
        method: Of the request.
        path: Of the request.
    """
    rule = rule_of(method, path)
    if rule is None:
        return method in SAFE
    return rule.roles is None or asker.role in rule.roles


def may_not_log(asker: Asker, kinds: Iterable[EventKind]) -> tuple[EventKind, ...]:
    """Kinds of event among these that a person may not log."""
    return tuple(kind for kind in kinds if kind not in LOGS[asker.role])
