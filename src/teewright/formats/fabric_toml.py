"""One `[[fabrics]]` table of the kit file, from a fabric."""

import json
from collections.abc import Sequence

from teewright.kit.values import Fabric
from teewright.units import BAR, MM

KN = 1e3
FILL_IN = "# to be filled in: not measured"


def fabric_section(fabric: Fabric, *, notes: Sequence[str] = ()) -> str:
    """The table as text that the kit reader reads, numbers to five digits.

    Args:
        fabric: What to write.
        notes: Lines that stand above it as comments.

    Returns:
        TOML, with a mark at each key that no test of stretch or thickness tells.
    """
    head = [f"# {' '.join(note.split())}" for note in notes]
    rows = [*_measured(fabric), *_open(fabric), f"source = {_text(fabric.source)}"]
    return "\n".join([*head, "[[fabrics]]", f"name = {_text(fabric.name)}", *rows, ""])


def _measured(fabric: Fabric) -> list[str]:
    points = (
        f"    {{ pressure_bar = {_number(p / BAR)}, thickness_mm = {_number(t / MM)} }},"
        for p, t in fabric.thickness
    )
    return [
        "thickness = [",
        *points,
        "]",
        f"stiffness_along_kn_m = {_number(fabric.stiffness_along / KN)}",
        f"stiffness_across_kn_m = {_number(fabric.stiffness_across / KN)}",
        f"stiffness_shear_kn_m = {_number(fabric.stiffness_shear / KN)}",
        f"poisson = {_number(fabric.poisson)}",
        f"largest_stretch_along = {_number(fabric.stretch_along)}",
        f"largest_stretch_across = {_number(fabric.stretch_across)}",
    ]


def _open(fabric: Fabric) -> list[str]:
    at = fabric.void_pressure
    return [
        f"void_fraction = {_number(fabric.void_fraction)}  {FILL_IN}",
        *([] if at is None else [f"void_pressure_bar = {_number(at / BAR)}  {FILL_IN}"]),
        f"seam_allowance_mm = {_number(fabric.seam_allowance / MM)}  {FILL_IN}",
        f"seam_stiffness_kn = {_number(fabric.seam_stiffness / KN)}  {FILL_IN}",
        f"seam_take_mm = {_number(fabric.seam_take / MM)}  {FILL_IN}",
        f"friction = {_number(fabric.friction)}  {FILL_IN}",
        f"fibre_density_kg_m3 = {_number(fabric.fibre_density)}  {FILL_IN}",
        f"roll_width_mm = {_number(fabric.roll_width / MM)}  {FILL_IN}",
        f"price_per_m2 = {_number(fabric.price)}  {FILL_IN}",
    ]


def _number(value: float) -> str:
    """Five digits, always with a point: TOML then reads a float."""
    text = f"{value:.5g}"
    return text if set(text) & set(".e") else f"{text}.0"


def _text(value: str) -> str:
    # a JSON string is a TOML basic string, but for the one sign that only TOML forbids
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
