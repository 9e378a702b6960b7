"""Collars made on all cores, each once, with the random cases that their tolerance needs."""

import hashlib
import os
import zlib
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import replace
from multiprocessing import get_context

import numpy as np

from teewright import __version__
from teewright.bench.shelf import Shelf
from teewright.collar.made import Made
from teewright.collar.order import Effort, Order
from teewright.errors import InputError
from teewright.formats.json_values import dump
from teewright.formats.json_values import load as load_value
from teewright.job.collars import REFUSALS, MadeOrNot, Maker
from teewright.junction.skin import FloatArray

Told = Callable[[str], None]
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
"""Read by the libraries at their start: one thread a process, the processes share the cores."""


def drawn(order: Order, effort: Effort) -> list[FloatArray]:
    """Sets of random cases in [-1, 1]^6, the same for the same pattern at every run."""
    seed = zlib.crc32(repr((order.junction, order.fabric.name)).encode())
    chance = np.random.default_rng(seed)
    return [chance.uniform(-1.0, 1.0, (effort.samples, 6)) for _ in range(effort.sets)]


def make_one(order: Order, effort: Effort, told: Told | None = None) -> MadeOrNot:
    """Make a collar, or say why not."""
    from teewright.collar.making import make_collar  # noqa: PLC0415 -- heavy, only where it works

    samples = drawn(order, effort) if effort.tolerance else []
    try:
        return make_collar(order, effort=effort, samples=samples, told=told)
    except REFUSALS as error:
        return error


def on_all_cores(effort: Effort) -> Maker:
    """A maker that uses every core.

    Args:
        effort: How finely and how far each collar is computed.
    """

    def make(orders: Sequence[Order], told: Told) -> Sequence[MadeOrNot]:
        cores = min(os.cpu_count() or 1, len(orders))
        if cores <= 1:
            return [make_one(order, effort, _named(order, told)) for order in orders]
        for name in THREADS:
            os.environ.setdefault(name, "1")
        with ProcessPoolExecutor(cores, mp_context=get_context("spawn")) as pool:
            return _gathered([pool.submit(make_one, order, effort) for order in orders], told)

    return make


def _named(order: Order, told: Told) -> Told:
    return lambda text: told(f"{order.pattern}: {text}")


def _gathered(tasks: Sequence[Future[MadeOrNot]], told: Told) -> list[MadeOrNot]:
    left = set(tasks)
    while left:
        told(f"making collars: {len(tasks) - len(left)} of {len(tasks)} patterns done")
        _, left = wait(left, return_when=FIRST_COMPLETED)
    return [task.result() for task in tasks]


def remembered(project: Shelf, make: Maker, effort: Effort) -> Maker:
    """A maker that makes only what this project has not made before.

    A change of the site's data or of one connection leaves the collars of all others as they
    are; what could not be made is tried again.

    Args:
        project: Keeps the collars.
        make: Makes those that are missing.
        effort: With which they are made.
    """

    def made_or_kept(orders: Sequence[Order], told: Told) -> Sequence[MadeOrNot]:
        kept = {order.pattern: _kept(project, order, effort) for order in orders}
        missing = [order for order in orders if kept[order.pattern] is None]
        fresh = iter(make(missing, told) if missing else ())
        return list(_merged(project, orders, kept, fresh, effort))

    return made_or_kept


def _merged(
    project: Shelf,
    orders: Sequence[Order],
    kept: dict[str, Made | None],
    fresh: Iterator[MadeOrNot],
    effort: Effort,
) -> Iterator[MadeOrNot]:
    for order in orders:
        old = kept[order.pattern]
        found = old if old is not None else next(fresh)
        if old is None and isinstance(found, Made):
            step, key = _key(order, effort)
            project.put_result(step, key, dump(found))
        yield found


def _kept(project: Shelf, order: Order, effort: Effort) -> Made | None:
    step, key = _key(order, effort)
    stored = project.result(step)
    if stored is None or stored.fingerprint != key:
        return None
    try:
        made = load_value(stored.json, Made, file=project.path.name)
    except InputError:  # kept by a version that knew less of it
        return None
    return replace(made, collar=replace(made.collar, pattern=order.pattern))


def _key(order: Order, effort: Effort) -> tuple[str, str]:
    """Name under which a collar is kept, and all that it depends on."""
    text = f"{__version__} {effort} {replace(order, pattern='')}"
    digest = hashlib.sha256(text.encode()).hexdigest()
    return f"collar {digest[:16]}", digest
