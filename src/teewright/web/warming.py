"""What the first reader of a collar would wait for is loaded before anyone asks."""

from importlib import import_module

from teewright.web import collar_drawn
from teewright.web.api.collars import fabric_of
from teewright.web.collar_map import KEYS
from teewright.web.office import Known
from teewright.web.trying import Wish, bench_of, instant


def load_solvers(known: Known) -> None:
    """Find the numbers of one collar as its page does: libraries are loaded where they are used.

    Args:
        known: What is known of the job; nothing is loaded where it has no connection.
    """
    connections = known.loaded.survey.connections if known.loaded else ()
    if not connections:
        return
    designed = [design.connection_id for design in known.designs.designs] if known.designs else []
    bench = bench_of(known, [*designed, connections[0].id][0])
    import_module("teewright.job.designing")  # used by whoever shows a collar, once there is one
    instant(bench, Wish())
    if bench.made is not None:
        fabric = fabric_of(known, bench.made.collar.fabric)
        collar_drawn.formed(bench.made.map, fabric, KEYS[0])
