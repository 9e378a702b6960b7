"""Names of connections as a project keeps them, from the first design on."""

import json
from collections.abc import Sequence
from contextlib import suppress

from teewright.bench.shelf import Shelf
from teewright.errors import StoreError
from teewright.network.corrections import Mark
from teewright.network.names import Named

_STEP = "names"


def kept_names(project: Shelf) -> tuple[Named, ...]:
    """Names that connections had when collars were designed last; none before that."""
    kept = project.result(_STEP)
    return _read(kept.json) if kept else ()


def keep_names(project: Shelf, named: Sequence[Named]) -> None:
    """Keep the names of connections for which collars are designed; the same again do nothing.

    Where a project can only be read they stay as they are: nothing is designed in it either.
    """
    kept, now = project.result(_STEP), _written(named)
    if kept is None or kept.json != now:
        with suppress(StoreError):
            project.put_result(_STEP, "", now)


def _written(named: Sequence[Named]) -> str:
    """A row a name: a town has tens of thousands, read at every change."""
    rows = [
        (n.id, [(m.run, m.file, m.line, m.chainage, m.clock, m.station) for m in n.seen])
        for n in named
    ]
    return json.dumps(rows, ensure_ascii=False, separators=(",", ":"))


def _read(text: str) -> tuple[Named, ...]:
    return tuple(
        Named(
            name,
            tuple(
                Mark(file, line, run, chainage, clock, station)
                for run, file, line, chainage, clock, station in seen
            ),
        )
        for name, seen in json.loads(text)
    )
