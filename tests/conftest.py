"""Settings of all tests."""

import fcntl
import os
import pickle
from collections.abc import Callable, Iterator, Sequence
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import settings

import teewright.bench.pool
import teewright.job.designing
from teewright.bench.pool import make_one
from teewright.collar.order import Effort, Order
from teewright.job.collars import MadeOrNot, Maker

# Speed is measured in benchmarks/, never by a test: a busy machine fails nothing. Where CI is set
# the examples are the same at every run, so that a change is judged by what it changed; everywhere
# else they are new each time and find what nobody thought of.
settings.register_profile("anywhere", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "anywhere")

ROUGH = Effort(fineness=2.0, rounds=4, seam=False, tolerance=False)
"""Collars of tests that are about something else: coarse, the seam at a usual place."""


def shared_maker(folder: Path, effort: Effort) -> Maker:
    """A maker whose collars all tests of this session share, whichever process they run in."""

    def one(order: Order) -> MadeOrNot:
        key = sha256(repr((order, effort)).encode()).hexdigest()[:24]
        with (folder / f"{key}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            kept = folder / f"{key}.pickle"
            if not kept.exists():
                kept.write_bytes(pickle.dumps(make_one(order, effort)))
            made: MadeOrNot = pickle.loads(kept.read_bytes())
        return made

    def make(orders: Sequence[Order], told: Callable[[str], None]) -> Sequence[MadeOrNot]:
        told("making collars")
        return [one(order) for order in orders]

    return make


@pytest.fixture(scope="session", autouse=True)
def shared_collars(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Jobs of tests make rough collars, each once; what makes them fine has tests of its own."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base) / "collars"
    folder.mkdir(exist_ok=True)
    maker = shared_maker(folder, ROUGH)
    patch = pytest.MonkeyPatch()
    patch.setattr(teewright.bench.pool, "on_all_cores", lambda _: maker)
    patch.setattr(teewright.job.designing, "one_by_one", lambda _: maker)
    yield
    patch.undo()
