"""What `teewright collar` does: make the collar, write its files, say how it does."""

import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from rich.console import Console

from teewright.bench.cutting import collar_files
from teewright.bench.pool import make_one
from teewright.cli.collar_inputs import Asked, Wish, asked
from teewright.cli.common import cannot, out, progress
from teewright.cli.start import make_folder
from teewright.cli.tables import counted, number, table
from teewright.collar.fit import fitting_packers, refusals
from teewright.collar.made import Made
from teewright.collar.values import Collar, Limit, Tolerance
from teewright.formats.collar_json import Told, collar_json, write_collar_json
from teewright.job.amounts import resin_of
from teewright.report.single import collar_pdf
from teewright.report.tile_grid import PAPERS
from teewright.resin.amount_values import ResinAmount
from teewright.resin.uptake import thickness_at
from teewright.units import BAR, LITRE, MM, shown

JSON_FILE, SHEET_FILE = "collar.json", "sheet.pdf"
"""Names of the two files that are not named after the pattern."""


def make(wish: Wish, folder: Path, *, as_json: bool) -> bool:
    """Make a collar and write its files.

    Args:
        wish: What was asked for.
        folder: For the files; made where it is not there.
        as_json: Print JSON instead of words.

    Returns:
        Whether it keeps every limit.

    Raises:
        TeewrightError: It cannot be made, or the files cannot be written.
    """
    given = asked(wish)
    make_folder(folder)  # what cannot be written is said before minutes are spent
    with progress() as tell:
        found = make_one(given.order, given.effort, tell)
        if not isinstance(found, Made):
            raise found
        tell("writing the files")
        told = _told(given, found)
        value = collar_json(found, given.order, given.effort, told)
        files = dict(_files(found, wish.paper, value, given))
    _write(folder, found.collar.pattern, files)
    if as_json:
        plain = not (sys.stdout.encoding or "utf-8").lower().startswith("utf")
        sys.stdout.write(write_collar_json(value, ascii_only=plain))
    else:
        _say(out(), found.collar, told, folder, files)
    return not told.shortfalls


def _files(
    made: Made, paper: str, value: dict[str, Any], given: Asked
) -> Iterator[tuple[str, bytes]]:
    papers = {name.casefold(): name for name in PAPERS}
    yield from collar_files(made.collar, papers[paper.casefold()])
    yield SHEET_FILE, collar_pdf(made, given.kit, given.order.fabric)
    yield JSON_FILE, write_collar_json(value).encode()


def _told(given: Asked, made: Made) -> Told:
    order, kit, collar = given.order, given.kit, made.collar
    packers = fitting_packers(order.junction, kit.packers, collar=collar)
    reasons = refusals(order.junction, kit.packers, order.fabric, collar)
    assumed = given.assumed
    if not packers and not given.own_kit:  # packers of the plain kit only stand for one at hand
        assumed, reasons = (*assumed, f"packer: yours must carry it. {reasons[0]}"), reasons[1:]
    if not given.effort.tolerance:
        assumed = (*assumed, "how far off it may be placed was not computed")
    return Told(
        kit=kit.title,
        invented=kit.invented,
        assumed=assumed,
        shortfalls=reasons,
        resin=kit.resin.name,
        loss=kit.rules.loss,
        demand=_demand(given, made),
    )


def _demand(given: Asked, made: Made) -> ResinAmount:
    order, kit = given.order, given.kit
    soaked = thickness_at(order.fabric, order.pressure)
    return resin_of(made, order.fabric, kit.resin, soaked=soaked, loss=kit.rules.loss)


def _write(folder: Path, name: str, files: dict[str, bytes]) -> None:
    """Write all files, and remove those of an earlier collar of the same name."""
    known = re.compile(rf"{re.escape(name)}-(?:[a-z-]+\.svg|(?:{'|'.join(PAPERS)})\.pdf)")
    try:
        for file, data in files.items():
            (folder / file).write_bytes(data)
        for path in folder.iterdir():
            if known.fullmatch(path.name) and path.name not in files:
                path.unlink()
    except OSError as error:
        raise cannot("be written", folder, error) from error


def _say(console: Console, collar: Collar, told: Told, folder: Path, files: Iterable[str]) -> None:
    console.print(_heading(collar, told))
    console.print()
    heads = ("Limit of the formed collar", "Found", "Allowed", "Left, %")
    console.print(table("", heads, (_limit_row(limit) for limit in collar.landing.limits)))
    console.print()
    console.print(_layouts(collar))
    console.print(_cloth(collar, told))
    console.print(_placed(collar.tolerance))
    for sentence in told.shortfalls:
        console.print(sentence)
    for sentence in told.assumed:
        console.print(f"Assumed: {sentence}.")
    console.print(f"{folder}: {', '.join(files)}")


def _heading(collar: Collar, told: Told) -> str:
    state = "lands within every limit" if not told.shortfalls else "cannot be used as it is"
    pieces = counted(len(collar.panels), "piece")
    at = f"{collar.landing.pressure / BAR:.2f} bar on the fabric"
    return f"{collar.pattern} {state}: {collar.layout}, {pieces}, {collar.fabric}, {at}"


def _limit_row(limit: Limit) -> tuple[str, str, str, str]:
    unit = "mm" if limit.unit == "m" else limit.unit
    found, most = (
        "–" if v is None else f"{shown(v, unit)} {unit}".removesuffix(" -")
        for v in (limit.value, limit.high)
    )
    return limit.name, found, most, number(100.0 * limit.margin, decimals=0)


def _layouts(collar: Collar) -> str:
    parts = (
        f"{offer.layout} {offer.ratio:.3f}" + (" (chosen)" if offer.chosen else "")
        for offer in collar.offers
    )
    allowed = collar.offers[0].allowed
    return f"Largest over smallest stretch, at most {allowed:.3f}: {', '.join(parts)}"


def _cloth(collar: Collar, told: Told) -> str:
    least, mean, most = (v / LITRE for v in collar.landing.resin)
    thin, thick = (v / MM for v in collar.landing.thickness)
    return (
        f"Fabric {collar.fabric_area:.3f} m2, {thin:.1f} to {thick:.1f} mm thick in place; resin "
        f"{least:.2f} to {most:.2f}, mean {mean:.2f} l/m2, to mix {told.demand.volume / LITRE:.2f} "
        f"l ({told.demand.mass:.2f} kg)"
    )


def _placed(t: Tolerance | None) -> str:
    if t is None:
        return "How far off it may be placed was not computed."
    if t.runs == 0:
        return f"It may not be off at all: {t.breaks[0] or 'some limit'} breaks first."
    return (
        f"May be off by ±{t.along / MM:.1f} mm along, ±{shown(t.round, 'deg')}° round; main "
        f"±{t.main / MM:.1f}, branch ±{t.branch / MM:.1f}, edge ±{t.fillet / MM:.1f} mm, angle "
        f"±{shown(t.angle, 'deg')}°: {t.runs} random cases within all kept every limit, at least "
        f"{100.0 * t.share:.0f} % of all cases (confidence {100.0 * t.confidence:.0f} %); "
        "several at their ends at once may break a limit"
    )
