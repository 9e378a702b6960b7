"""Command that fits a fabric to tests: fabric."""

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console

from teewright.bench.inputs import document
from teewright.cli.common import AsJson, out, print_json
from teewright.cli.starters import write_new, write_tables
from teewright.cli.tables import findings_table, number, table
from teewright.errors import InputError
from teewright.fabric.entry import NOT_FITTED, fabric_of
from teewright.fabric.law import window, window_reasons
from teewright.fabric.values import DirectionFit, FabricFit, ThicknessFit
from teewright.findings import Finding
from teewright.kit.values import Fabric
from teewright.units import BAR, MM

STRIPS_FILE = "fabric-strips.csv"
"""Name of the empty table of strips."""
THICKNESS_FILE = "fabric-thickness.csv"
"""Name of the empty table of thickness."""
KN = 1e3


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("fabric")(fabric)


def fabric(
    strips: Annotated[
        Path | None, typer.Option("--strips", help="Readings of pulled strips (CSV).")
    ] = None,
    thickness: Annotated[
        Path | None, typer.Option("--thickness", help="Readings of thickness (CSV).")
    ] = None,
    name: Annotated[str, typer.Option("--name", help="Name of the fabric in the kit.")] = "Fabric",
    most: Annotated[
        float,
        typer.Option(
            "--most", metavar="%", min=0.5, max=200.0,
            help="Extension up to which stiffness is fitted: that of your collars, in percent.",
        ),
    ] = 10.0,
    share: Annotated[
        float,
        typer.Option(
            "--share", min=0.1, max=1.0,
            help="Share of the logarithmic strain before the peak force that counts as safe.",
        ),
    ] = 0.8,
    destination: Annotated[
        Path | None, typer.Option("--out", help="New file for the [[fabrics]] table (TOML).")
    ] = None,
    template: Annotated[
        Path | None,
        typer.Option("--template", help="Write both tables, empty, into this folder and stop."),
    ] = None,
    as_json: AsJson = False,
) -> None:  # fmt: skip
    """Fit a fabric to your tests: stiffness, contraction, shear, largest stretch, thickness."""
    from teewright.formats.kit_toml import read_fabrics

    if template is not None:
        _templates(template)
        return
    if strips is None or thickness is None:
        raise InputError(
            "are both needed", field="--strips and --thickness",
            value=" and ".join(str(p) for p in (strips, thickness) if p) or "none",
            allowed="two CSV files; --template FOLDER writes empty ones",
        )  # fmt: skip
    fit, pressed, findings = _fits(strips, thickness, (0.0, math.log1p(most / 100.0)), share)
    fitted = fabric_of(name, fit, pressed, source=_source(strips, thickness))
    section = _section(fitted, fit, pressed)
    read_fabrics(section.encode(), file="the fitted fabric")  # refuses what no kit may hold
    if destination is not None:
        write_new(destination, section.encode())
    if as_json:
        print_json(_plain(fitted, fit, pressed, findings))
        return
    _print(out(), fitted, fit, pressed, findings)
    if destination is not None:
        out().print(f"{destination} written: {_to_fill_in()}")


def _templates(folder: Path) -> None:
    from teewright.formats.strip_csv import STRIP_TEMPLATE, THICKNESS_TEMPLATE

    write_tables(folder, {STRIPS_FILE: STRIP_TEMPLATE, THICKNESS_FILE: THICKNESS_TEMPLATE})


def _fits(
    strips: Path, thickness: Path, limits: tuple[float, float], share: float
) -> tuple[FabricFit, ThicknessFit, tuple[Finding, ...]]:
    from teewright.fabric.fit import fit_strips
    from teewright.fabric.thickness import fit_thickness
    from teewright.formats.strip_csv import read_strips, read_thickness

    given = document(strips), document(thickness)
    pulled, of_strips = read_strips(given[0].data, file=given[0].name)
    pressed, of_thickness = read_thickness(given[1].data, file=given[1].name)
    fit = fit_strips(pulled, limits=limits, share=share)
    table_fit = fit_thickness(pressed)
    return fit, table_fit, (*of_strips, *of_thickness, *fit.findings, *table_fit.findings)


def _source(strips: Path, thickness: Path) -> str:
    return f"fitted to {strips.name} and {thickness.name}"[:400]


def _to_fill_in() -> str:
    return f"fill in {', '.join(NOT_FITTED)} before it is used"


def _section(fitted: Fabric, fit: FabricFit, pressed: ThicknessFit) -> str:
    from teewright.formats.fabric_toml import fabric_section

    notes = [
        "A fabric for the kit file, fitted to tests; paste it among the others.",
        *(
            f"{d.direction.words}: residuals {_known(d.rms, decimals=0)} N/m about "
            f"{d.stiffness / KN:.3g} kN/m, {_range(d)}, {d.used} readings, "
            f"{len(d.specimens)} strips"
            for d in fit.directions
        ),
        f"thickness: residuals {pressed.rms / MM:.3f} mm, {pressed.readings} readings",
        f"Not told by the tests, {_to_fill_in()}.",
    ]
    return fabric_section(fitted, notes=notes)


def _range(d: DirectionFit) -> str:
    least, most = (100.0 * math.expm1(h) for h in (d.least, d.most))
    return f"{least:.1f} to {most:.1f} % extension"


def _plain(
    fitted: Fabric, fit: FabricFit, pressed: ThicknessFit, findings: Sequence[Finding]
) -> dict[str, Any]:
    from teewright.formats.json_values import plain

    low, high = window(fitted)
    return {
        "fabric": plain(fitted),
        "to_fill_in": list(NOT_FITTED),
        "window": {"low": low, "high": high, "reasons": list(window_reasons(fitted))},
        "strips": _without_nan(plain(fit)),
        "thickness": plain(pressed),
        "findings": [plain(finding) for finding in findings],
    }


def _without_nan(value: Any) -> Any:
    """JSON knows no nan: what is not known is null."""
    if isinstance(value, dict):
        return {key: _without_nan(v) for key, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_without_nan(v) for v in value]
    return None if isinstance(value, float) and math.isnan(value) else value


def _print(
    console: Console,
    fitted: Fabric,
    fit: FabricFit,
    pressed: ThicknessFit,
    findings: Sequence[Finding],
) -> None:
    _strips_table(console, fit)
    console.print()
    _law_table(console, fitted, fit)
    console.print()
    _thickness_table(console, pressed)
    console.print()
    for reason in window_reasons(fitted):
        console.print(f"{reason[:1].upper()}{reason[1:]}.")
    console.print()
    findings_table(console, findings)


def _strips_table(console: Console, fit: FabricFit) -> None:
    heads = ("Strips", "Number, no", "Readings, no", "From, %", "To, %", "Stiffness, kN/m",
             "Lower half, kN/m", "Upper half, kN/m", "Residual, N/m", "Of the top, %",
             "Largest, N/m", "Spread, %")  # fmt: skip
    console.print(table("Pulled strips", heads, (_strip_row(d) for d in fit.directions)))


def _strip_row(d: DirectionFit) -> tuple[str, ...]:
    return (
        d.direction.words,
        str(len(d.specimens)),
        str(d.used),
        number(100.0 * math.expm1(d.least), decimals=1),
        number(100.0 * math.expm1(d.most), decimals=1),
        number(d.stiffness, KN),
        _known(d.low_stiffness, KN),
        _known(d.high_stiffness, KN),
        _known(d.rms, decimals=0),
        _known(100.0 * d.rms / d.top, decimals=1),
        number(d.largest, decimals=0),
        number(100.0 * d.spread if len(d.specimens) > 1 else None, decimals=0),
    )


def _known(value: float, factor: float = 1.0, decimals: int = 2) -> str:
    return number(None if math.isnan(value) else value, factor, decimals)


def _law_table(console: Console, fitted: Fabric, fit: FabricFit) -> None:
    straight = {d.direction.value for d in fit.directions}

    def how(direction: str) -> str:
        return "fitted" if direction in straight else "assumed, the other direction"

    least = f"{100.0 * fit.share:.0f} % of the logarithmic strain of the weakest strip"
    poisson = f"fitted to {fit.poisson_readings} widths" if fit.poisson_readings else "assumed"
    shear = "from the strips at 45 degrees" if fit.shear_measured else "estimated"
    rows = (
        ("stiffness along the grain, kN/m", number(fit.stiffness_along, KN), how("along")),
        ("stiffness across the grain, kN/m", number(fit.stiffness_across, KN), how("across")),
        ("stiffness in shear, kN/m", number(fit.shear, KN), shear),
        ("Poisson's ratio, pulled along", number(fit.poisson, decimals=3), poisson),
        ("largest stretch along", number(fit.stretch_along, decimals=3), least),
        ("largest stretch across", number(fit.stretch_across, decimals=3), least),
    )
    console.print(table(fitted.name, ("Figure", "Value, in its unit", "How"), rows))


def _thickness_table(console: Console, pressed: ThicknessFit) -> None:
    rows = ((number(p, BAR, 3), number(t, MM, 3)) for p, t in pressed.points)
    heads = ("Pressure, bar", "Thickness, mm")
    console.print(table(f"Thickness, {pressed.readings} readings", heads, rows))
    console.print(f"Residual {pressed.rms / MM:.3f} mm, largest {pressed.largest / MM:.3f} mm.")
