"""What a site file must tell where the host is fully deteriorated, and what it must not."""

from collections.abc import Iterator

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.formats.site_schema import RunTable
from teewright.formats.toml_common import Source
from teewright.network.conditions import FULLY

WHEEL = "wheel_load_kn"
NEEDED = ("soil_modulus_mpa", "traffic_kpa")
"""Keys that are wanted then; a wheel may stand in place of the pressure of traffic."""


def ground_faults(run: RunTable, i: int, source: Source) -> Iterator[InputError]:
    """A fully deteriorated host without what lies on it, or told to be sound.

    Args:
        run: One run.
        i: Its index.
        source: Its lines.
    """
    yield from _wheel_faults(run, i, source)
    if run.deteriorated != FULLY:
        return
    traffic_told = run.traffic_kpa is not None or run.wheel_load_kn is not None
    told = (run.soil_modulus_mpa is not None, traffic_told)
    missing = [key for key, there in zip(NEEDED, told, strict=True) if not there]
    if missing:
        yield source.fault(
            ("runs", i, "deteriorated"), f"needs {' and '.join(missing)} beside it",
            value=FULLY,
            allowed=f"both told, with 0 kPa where there is no traffic, or {WHEEL} in its place; "
            "or partly",
        )  # fmt: skip
    if run.host_cracked is False:
        yield source.fault(
            ("runs", i, "host_cracked"), "contradicts a host that is fully deteriorated",
            value="false", allowed="true, or left out",
        )  # fmt: skip


def _wheel_faults(run: RunTable, i: int, source: Source) -> Iterator[InputError]:
    if run.wheel_load_kn is not None and run.traffic_kpa is not None:
        yield source.fault(
            ("runs", i, WHEEL), "is told beside traffic_kpa", value=run.wheel_load_kn,
            allowed="one of the two",
        )  # fmt: skip
    if run.wheels_beside_m and run.wheel_load_kn is None:
        yield source.fault(
            ("runs", i, "wheels_beside_m"), f"needs {WHEEL} beside it", value=run.wheels_beside_m,
            allowed="the load of each wheel, or no distances",
        )  # fmt: skip


def ground_doubts(run: RunTable, i: int, source: Source) -> Iterator[Finding]:
    """What is told of the ground, though the host carries it.

    Args:
        run: One run.
        i: Its index.
        source: Its lines.
    """
    if run.deteriorated == FULLY:
        return
    for key in (*NEEDED, WHEEL):
        if getattr(run, key) is not None:
            yield Finding(
                FindingKind.DOUBT, "site-ground",
                f"{key} of {run.upstream}-{run.downstream} is given, but not that its host is "
                "fully deteriorated; it is not used",
                Place(source.file, source.line(("runs", i, key)), key),
                f"{getattr(run, key):g}",
            )  # fmt: skip
