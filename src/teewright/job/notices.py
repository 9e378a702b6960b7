"""What a design takes for granted besides the defaults, said once for the whole job."""

from collections.abc import Iterable, Sequence

from teewright.findings import Finding, FindingKind
from teewright.heat.wall import NOT_MODELLED as CURE
from teewright.hydraulics.blocking import NOT_MODELLED as POOL
from teewright.hydraulics.bypass import NOT_MODELLED as BYPASS
from teewright.job.blocking import NOTES as LEVEL
from teewright.job.resolve import Inputs
from teewright.network.conditions import Site
from teewright.pressure.values import PressureWindow
from teewright.resin.times import NOT_MODELLED as TIMES
from teewright.wall.collar import NOT_COUNTED as WALL


def host_findings(resolved: Iterable[tuple[str, Inputs]]) -> tuple[Finding, ...]:
    """The connections whose host is not known to be sound.

    Args:
        resolved: (connection id, inputs) pairs.
    """
    names = [name for name, inputs in resolved if inputs.cracked is None]
    if not names:
        return ()
    listed = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
    return (
        Finding(
            FindingKind.ASSUMED,
            "default-host-cracked",
            "not told whether the host is cracked: taken as held by soil and water alone for "
            f"{len(names)} connection{'s' if len(names) > 1 else ''} ({listed})",
            value="cracked",
        ),
    )


def flow_findings(site: Site) -> tuple[Finding, ...]:
    """A daily pattern of flow that nobody gave."""
    if site.flow_pattern:
        return ()
    return (
        Finding(
            FindingKind.ASSUMED,
            "default-flow-pattern",
            "no daily pattern of the flow given: the mean flow is taken in every hour, though "
            "peaks of the day are higher",
            value="steady",
        ),
    )


def left_out(taken: Iterable[str], windows: Sequence[PressureWindow]) -> tuple[Finding, ...]:
    """What the calculations leave out, for the engineer who signs them.

    Args:
        taken: What is taken for granted of the wall, one sentence each.
        windows: Of the collars; what one of them leaves out is told.
    """
    pressure = dict.fromkeys(sentence for window in windows for sentence in window.left_out)
    parts = (
        ("pressure", tuple(pressure)),
        ("times", TIMES),
        ("cure", CURE),
        ("wall", (*WALL, *taken)),
        ("bypass", BYPASS),
        # the last of the pool, the branch that is shut, is said with the bypass
        ("blocked-main", (*LEVEL, *POOL[:-1])),
    )
    return tuple(
        Finding(FindingKind.NOTE, f"left-out-{name}", sentence.rstrip("."))
        for name, sentences in parts
        for sentence in sentences
    )
