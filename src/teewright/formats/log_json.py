"""Logs that were saved as JSON, also such as were cut short: whatever of them is whole is read.

Two files are known: the log of a project as the server and the pack write it, chained by hashes;
and the entries of a tablet that it could not send. Both are an object with the list `events`.
A file that a full card or a pulled plug cut off in the middle still tells its first entries.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from teewright.errors import FileFormatError
from teewright.site.chain import GENESIS, draft_of, seal
from teewright.site.values import Event, EventKind

_DECODER = json.JSONDecoder()
_EVENTS, _COUNT = "events", "count"
_SPACE = re.compile(r"[ \t\n\r]*")


@dataclass(frozen=True, slots=True)
class SavedLog:
    """What a saved log holds.

    Attributes:
        events: Its first entries: all that are whole and continue the chain.
        whole: Whether that is all of it, and its end is the one that the file names.
        said: Why it is not, one sentence; else empty.
    """

    events: tuple[Event, ...]
    whole: bool
    said: str


@dataclass(frozen=True, slots=True)
class SavedEntries:
    """What the file of a tablet holds.

    Attributes:
        project: Key of the project to which the entries belong; empty where it is not known.
        events: Entries as they were to be sent, the whole ones.
        whole: Whether that is all of them.
        said: Why it is not, one sentence; else empty.
    """

    project: str
    events: tuple[dict[str, Any], ...]
    whole: bool
    said: str


@dataclass(slots=True)
class _Found:
    """Parts of the outermost object, as far as they are whole."""

    members: dict[str, Any] = field(default_factory=dict)
    items: list[Any] = field(default_factory=list)
    whole: bool = False


def read_log(data: bytes, *, file: str = "") -> SavedLog:
    """The longest valid beginning of a saved log.

    Args:
        data: The file, whole or cut off anywhere.
        file: Its name, for the message.

    Raises:
        FileFormatError: It is no such file.
    """
    found = _parsed(data, file)
    events: list[Event] = []
    for item in found.items:
        event = _event(item)
        if event is None or not _follows(event, events):
            said = f"Entry {len(events) + 1} is not what was stored: {_kept(len(events))}."
            return SavedLog(tuple(events), whole=False, said=said)
        events.append(event)
    if not found.whole:
        said = f"The file is cut off in entry {len(events) + 1}: {_kept(len(events))}."
        return SavedLog(tuple(events), whole=False, said=said)
    head = events[-1].hash if events else GENESIS
    if found.members.get("head", head) != head:
        said = f"The end of the log is missing: {_kept(len(events))}."
        return SavedLog(tuple(events), whole=False, said=said)
    return SavedLog(tuple(events), whole=True, said="")


def read_entries(data: bytes, *, file: str = "") -> SavedEntries:
    """The whole entries of a file that a tablet saved.

    Args:
        data: The file, whole or cut off anywhere.
        file: Its name, for the message.

    Raises:
        FileFormatError: It is no such file.
    """
    found = _parsed(data, file)
    events = [item for item in found.items if isinstance(item, dict)]
    project = found.members.get("project", "")
    said = _lost(found, len(events))
    return SavedEntries(
        project=project if isinstance(project, str) else "",
        events=tuple(events),
        whole=not said,
        said=said,
    )


def is_log(data: bytes) -> bool:
    """Whether a saved file is the log of a project, and not the entries of a tablet."""
    try:
        items = _parsed(data, "").items
    except FileFormatError:
        return False
    return bool(items) and isinstance(items[0], dict) and "hash" in items[0]


def _lost(found: _Found, whole: int) -> str:
    """What is missing of the entries of a tablet, one sentence, or `""`."""
    count = found.members.get(_COUNT)
    saved = count if isinstance(count, int) and count > whole else None
    if not found.whole:
        said = f"The file is cut off in entry {whole + 1}: {_kept(whole)}"
        if saved is None:
            return f"{said}; how many are lost is not known."
        return f"{said}; of {saved} that were saved {saved - whole} {_are(saved - whole)} lost."
    if whole < len(found.items):
        lost = len(found.items) - whole
        return f"{lost} of the {len(found.items)} entries cannot be read."
    if saved is not None:
        return f"The file says that it holds {saved} entries; {whole} {_are(whole)} there."
    return ""


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def _kept(count: int) -> str:
    return {0: "none before it", 1: "the one before it is whole"}.get(
        count, f"the {count} before it are whole"
    )


def _follows(event: Event, before: list[Event]) -> bool:
    """Whether an event is what was stored after those before it."""
    previous = before[-1].hash if before else GENESIS
    if event.previous != previous or any(event.id == other.id for other in before):
        return False
    return seal(draft_of(event), recorded=event.recorded, previous=previous) == event


def _event(item: Any) -> Event | None:
    """An event, or None where it is not one."""
    try:
        values = {name: item[name] for name in Event.__slots__}
        texts = ("id", "installation", "device", "person", "previous", "hash")
        if not all(isinstance(values[name], str) for name in texts):
            return None
        values["kind"] = EventKind(values["kind"])
        values["at"] = datetime.fromisoformat(values["at"])
        values["recorded"] = datetime.fromisoformat(values["recorded"])
        values["data"] = tuple((str(name), str(value)) for name, value in values["data"])
        if None in {values["at"].utcoffset(), values["recorded"].utcoffset()}:
            return None
        return Event(**values)
    except (KeyError, TypeError, ValueError):
        return None


def _parsed(data: bytes, file: str) -> _Found:
    """What is whole of the outermost object.

    Raises:
        FileFormatError: It is none.
    """
    text = _text(data).removeprefix("\ufeff")
    at = _skipped(text, 0)
    begin = text[at : at + 1] + text[_skipped(text, at + 1) :][:1]
    if begin not in {"", "{", '{"'} or (data and not text):
        raise FileFormatError("is no saved log", file=file, field=_EVENTS, allowed="an object")
    found = _Found()
    try:
        for name, value, is_closed in _members(text, at, found):
            found.members[name] = value
            found.whole = is_closed
    except (ValueError, IndexError, RecursionError):
        found.whole = False
    if found.whole and _EVENTS not in found.members:
        raise FileFormatError("is not there", file=file, field=_EVENTS, allowed="a list")
    return found


def _members(text: str, at: int, found: _Found) -> Iterator[tuple[str, Any, bool]]:
    """(name, value, whether the object ends after it); the list of events goes to `found`."""
    at = _expected(text, at, "{")
    while True:
        name, at = _DECODER.raw_decode(text, _skipped(text, at))
        at = _skipped(text, _expected(text, at, ":"))
        if name == _EVENTS:
            at = _items(text, at, found)
            value: Any = None
        else:
            value, at = _DECODER.raw_decode(text, at)
        at = _skipped(text, at)
        is_last = text[at] == "}"
        if is_last and text[at + 1 :].strip():
            raise ValueError
        yield str(name), value, is_last
        if is_last:
            return
        at = _expected(text, at, ",")


def _items(text: str, at: int, found: _Found) -> int:
    """Take the items of the list of events; where it ends."""
    at = _skipped(text, _expected(text, at, "["))
    if text[at] == "]":
        return at + 1
    while True:
        item, at = _DECODER.raw_decode(text, at)
        found.items.append(item)
        at = _skipped(text, at)
        if text[at] == "]":
            return at + 1
        at = _skipped(text, _expected(text, at, ","))


def _expected(text: str, at: int, sign: str) -> int:
    at = _skipped(text, at)
    if text[at] != sign:
        raise ValueError
    return at + 1


def _skipped(text: str, at: int) -> int:
    """Past white space."""
    found = _SPACE.match(text, at)
    return found.end() if found else at


def _text(data: bytes) -> str:
    """The text up to the first byte that is none."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        return data[: error.start].decode("utf-8")
