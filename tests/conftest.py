"""Settings of all tests."""

import fcntl
import os
import pickle
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import settings

# The workers share the cores. Without this each of them keeps a thread a core for its matrices,
# and these wait for each other with all the power there is. Read when numpy is first loaded.
os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1", MKL_NUM_THREADS="1")

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


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """No other process of this session is at that path meanwhile."""
    with path.with_name(f"{path.name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def shared_maker(folder: Path, effort: Effort) -> Maker:
    """A maker whose collars all tests of this session share, whichever process they run in."""

    def one(order: Order) -> MadeOrNot:
        key = sha256(repr((order, effort)).encode()).hexdigest()[:24]
        kept = folder / f"{key}.pickle"
        with alone(kept):
            if not kept.exists():
                kept.write_bytes(pickle.dumps(make_one(order, effort)))
        made: MadeOrNot = pickle.loads(kept.read_bytes())
        return made

    def make(orders: Sequence[Order], told: Callable[[str], None]) -> Sequence[MadeOrNot]:
        told("making collars")
        return [one(order) for order in orders]

    return make


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of this session have in common."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base) / "shared"
    folder.mkdir(exist_ok=True)
    return folder


@pytest.fixture(scope="session")
def made_once(shared_folder: Path) -> Callable[[str, Callable[[Path], None]], Path]:
    """`made_once(name, make)`: what lies at a path that one process makes for all of them.

    It is to be read only: who writes takes a copy.
    """

    def once(name: str, make: Callable[[Path], None]) -> Path:
        path, done = shared_folder / name, shared_folder / f"{name}.done"
        with alone(path):
            if not done.exists():
                make(path)
                done.touch()
        return path

    return once


@pytest.fixture(scope="session", autouse=True)
def shared_collars(shared_folder: Path) -> Iterator[None]:
    """Jobs of tests make rough collars, each once; what makes them fine has tests of its own."""
    maker = shared_maker(shared_folder, ROUGH)
    patch = pytest.MonkeyPatch()
    patch.setattr(teewright.bench.pool, "on_all_cores", lambda _: maker)
    patch.setattr(teewright.job.designing, "one_by_one", lambda _: maker)
    yield
    patch.undo()
