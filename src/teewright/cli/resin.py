"""Command that fits the law of cure of a resin: resin."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console

from teewright.bench.inputs import document, kit_documents
from teewright.cli.common import AsJson, out, print_json
from teewright.cli.starters import write_tables
from teewright.cli.tables import findings_table, number, table
from teewright.errors import InputError, UnknownNameError
from teewright.findings import Finding
from teewright.kit.values import Kit, Resin
from teewright.units import MINUTE, SHOWN, celsius

if TYPE_CHECKING:
    from teewright.job.cure_law import LawTimes
    from teewright.resin.confidence import Parameter
    from teewright.resin.cure_fit import CureFit

CONVERSION_FILE = "resin-conversion.csv"
"""Name of the empty table of conversions."""
HEAT_FILE = "resin-heat-flow.csv"
"""Name of the empty table of heat flows."""
KJ = 1e3


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("resin")(resin)


def resin(
    readings: Annotated[
        Path | None, typer.Option("--readings", help="Readings of the cure (CSV).")
    ] = None,
    kit: Annotated[
        Path | None,
        typer.Option("--kit", help="Kit file (TOML): its data sheet stands beside the readings."),
    ] = None,
    name: Annotated[
        str | None,
        typer.Option("--name", help="Resin of the kit; that of its rules if left out."),
    ] = None,
    heat: Annotated[
        float | None,
        typer.Option(
            "--heat", metavar="KJ/KG", min=1.0, max=1000.0,
            help="Heat of reaction per mass of mix; the kit's if left out.",
        ),
    ] = None,
    gel: Annotated[
        float | None,
        typer.Option(
            "--gel", min=0.05, max=0.95, help="Conversion at which the working time ends."
        ),
    ] = None,
    firm: Annotated[
        float | None,
        typer.Option("--firm", min=0.1, max=0.99, help="Conversion from which it is released."),
    ] = None,
    template: Annotated[
        Path | None,
        typer.Option("--template", help="Write both kinds of table, empty, into this folder."),
    ] = None,
    as_json: AsJson = False,
) -> None:  # fmt: skip
    """Fit the law of cure of a resin to readings, or to its data sheet where there are none."""
    if template is not None:
        _templates(template)
        return
    if readings is None and kit is None:
        raise InputError(
            "are both missing", field="--readings and --kit",
            allowed="one of them or both; --template FOLDER writes empty tables of readings",
        )  # fmt: skip
    sheet, findings = _of_kit(kit, name)
    bare = _BARE if sheet is None else sheet
    marked = replace(
        bare,
        heat=bare.heat if heat is None else heat * KJ,
        gel=bare.gel if gel is None else gel,
        firm=bare.firm if firm is None else firm,
    )
    used, more = _with_readings(marked, readings)
    _tell(used, sheet is not None, (*findings, *more), as_json=as_json)


_BARE = Resin(
    "resin", 1000.0, 1000.0, 1000.0, 1.0, 1.0, (), (), 1e9, 1e7, 1.0, (), 0.0, "readings alone"
)
"""A resin of which readings alone are known; no figure of it but the marks is used."""


def _templates(folder: Path) -> None:
    from teewright.formats.cure_csv import CONVERSION_TEMPLATE, HEAT_TEMPLATE

    write_tables(folder, {CONVERSION_FILE: CONVERSION_TEMPLATE, HEAT_FILE: HEAT_TEMPLATE})


def _of_kit(path: Path | None, name: str | None) -> tuple[Resin | None, tuple[Finding, ...]]:
    from teewright.formats.kit_toml import read_kit

    if path is None:
        if name is not None:
            raise InputError(
                "names a resin of a kit, and none is given", field="--name", value=name,
                allowed="--kit FILE beside it",
            )  # fmt: skip
        return None, ()
    own, beside = kit_documents(path)
    kit, findings = read_kit(own.data, file=own.name, beside={d.name: d.data for d in beside})
    found = _chosen(kit, name)
    return found, tuple(f for f in findings if f.place.file == found.readings_source != "")


def _chosen(kit: Kit, name: str | None) -> Resin:
    if name is None:
        return kit.resin
    resins = {resin.name: resin for resin in kit.resins}
    if name not in resins:
        raise UnknownNameError(
            "is not a resin of this kit", field="--name", value=name, allowed=", ".join(resins)
        )
    return resins[name]


def _with_readings(used: Resin, path: Path | None) -> tuple[Resin, tuple[Finding, ...]]:
    """The resin with the readings of a file, in the place of those that its kit names."""
    from teewright.formats.cure_csv import read_cure
    from teewright.resin.measured import marks_of, reading_doubts

    marks = marks_of(used)
    if marks.gel >= marks.firm:
        raise InputError(
            "is not below the conversion at release", field="--gel", value=marks.gel,
            allowed=f"below {marks.firm:g}",
        )  # fmt: skip
    if path is None:
        return used, ()
    given = document(path)
    series, found = read_cure(given.data, file=given.name)
    odd = reading_doubts(series, marks=marks)
    return replace(used, readings=series, readings_source=given.name), (*found, *odd)


def _tell(used: Resin, has_sheet: bool, findings: Sequence[Finding], *, as_json: bool) -> None:
    from teewright.job.cure_law import fit_of, law_times
    from teewright.resin.confidence import parameters

    if not used.readings and used.heat <= 0.0:
        raise InputError(
            "is not known, and the warming of the data sheet's pot needs it",
            field=f"heat of reaction of {used.name}", allowed="--heat KJ/KG, or heat_kj_kg",
        )  # fmt: skip
    fit = fit_of(used)
    wanted = _temperatures(used, has_sheet=has_sheet)
    rows = law_times(fit, wanted, resin=used if has_sheet else None)
    told = parameters(fit)
    if as_json:
        print_json(_plain(used, fit, told, rows, findings))
    else:
        _print(out(), used, fit, told, rows, findings)


def _temperatures(used: Resin, *, has_sheet: bool) -> list[float]:
    """Temperatures of the data sheet, or those of the readings and half-way between them."""
    if has_sheet:
        return sorted({T for T, _ in used.working_time} | {T for T, _ in used.release_time})
    ends = (f(one.ramp or (one.temperature,)) for one in used.readings for f in (min, max))
    held = sorted(set(ends))
    between = [0.5 * (low + high) for low, high in pairwise(held)]
    return sorted({*held, *between})


def _plain(
    used: Resin,
    fit: "CureFit",
    told: Sequence["Parameter"],
    rows: Sequence["LawTimes"],
    findings: Sequence[Finding],
) -> dict[str, Any]:
    from teewright.formats.json_values import plain

    return {
        "resin": used.name,
        "basis": fit.basis.value,
        "kinetics": plain(fit.kinetics),
        "reference": fit.reference,
        "parameters": [plain(one) for one in told],
        "uncertainty": fit.uncertainty,
        "freedom": fit.freedom,
        "assumed": list(fit.assumed),
        "times": [plain(row) for row in rows],
        "findings": [plain(finding) for finding in findings],
    }


def _print(
    console: Console,
    used: Resin,
    fit: "CureFit",
    told: Sequence["Parameter"],
    rows: Sequence["LawTimes"],
    findings: Sequence[Finding],
) -> None:
    heads = ("Parameter", "Best, in its unit", "95 % from, the same", "95 % to, the same", "Unit")
    shown_rows = (
        (f"{p.name}, {p.symbol}", *_interval(p), "–" if p.shown_in == "-" else p.shown_in)
        for p in told
    )
    console.print(table(f"{used.name}, fitted to {fit.basis.value}", heads, shown_rows))
    low, high = (celsius(T) for T in fit.kinetics.valid)
    console.print(
        f"Rates at {celsius(fit.reference):.1f} °C; holds from {low:g} to {high:g} °C. "
        f"{len(fit.residuals)} data, standard uncertainty of one {_uncertainty(fit)}."
    )
    console.print()
    _times(console, rows)
    for sentence in fit.assumed:
        console.print(f"- {sentence}")
    console.print()
    findings_table(console, findings)


def _interval(one: "Parameter") -> tuple[str, str, str]:
    best, low, high = (f"{SHOWN[one.shown_in][0](v):.3g}" for v in (one.value, one.low, one.high))
    return (f"{one.value:.0f}", "held", "held") if one.low == one.high else (best, low, high)


def _uncertainty(fit: "CureFit") -> str:
    from teewright.resin.cure_fit import Basis

    size = f"{100.0 * fit.uncertainty:.1f} %"
    return f"{size} of the {'time' if fit.basis is Basis.SHEET else 'whole conversion'}"


def _times(console: Console, rows: Sequence["LawTimes"]) -> None:
    beside = any(row.sheet_working is not None or row.sheet_release is not None for row in rows)
    heads = ["Held at, °C", "Works for, min", "5 %, min", "95 %, min", "Firm at, min",
             "5 %, min", "95 %, min"]  # fmt: skip
    if beside:
        heads += ["In the sheet's pot, min", "Sheet works for, min", "Sheet releases at, min"]
    console.print(table("Times from mixing", heads, (_time_row(r, beside=beside) for r in rows)))
    if any(row.outside for row in rows):
        console.print("* outside the temperatures of the data: guessed.")
    console.print()


def _time_row(row: "LawTimes", *, beside: bool) -> list[str]:
    mark = "*" if row.outside else ""
    cells = [f"{celsius(row.temperature):.1f}{mark}"]
    cells += [number(t, MINUTE, 1) for t in (*row.working, *row.release)]
    if beside:
        sheet = (row.pot, row.sheet_working, row.sheet_release)
        cells += [number(t, MINUTE, 1) for t in sheet]
    return cells
