"""The order on its roll: one sheet with every piece that is cut."""

from teewright.collar.nesting import Nest
from teewright.report import words
from teewright.report.figures import nest as figure
from teewright.report.index import JobIndex
from teewright.report.sheets.pattern import by_pattern
from teewright.report.sheets.sheet import Json, Sheet

_HOW = {
    "strip packing": "searched for the shortest roll",
    "shelves": "in rows across the roll, the longest pieces first",
}


def sheets(index: JobIndex, nest: Nest | None) -> list[Sheet]:
    """One sheet with the nested order; none where nothing was nested.

    Args:
        index: The job.
        nest: The order on its roll, or None.
    """
    if nest is None or not nest.placements:
        return []
    collars = [designs[0].collar for designs in by_pattern(index).values()]
    fabrics = sorted({collar.fabric for collar in collars})
    area = sum(place.panel.area for place in nest.placements)
    facts: list[Json] = [
        ["Fabric", words.listed(fabrics, 2)],
        ["Pieces", str(len(nest.placements))],
        ["Roll, usable width", f"{nest.roll_width * 1e3:.0f} mm"],
        ["Roll used", f"{nest.length:.2f} m, {nest.length * nest.roll_width:.2f} m²"],
        ["In the pieces", f"{area:.2f} m², {100.0 * nest.utilisation:.0f} %"],
        ["Between pieces, at least", f"{nest.gap * 1e3:.1f} mm"],
    ]
    body: dict[str, Json] = {
        "figure": figure.nest_figure(nest, collars),
        "scale": figure.scale_for(nest),
        "facts": facts,
        "how": f"Laid out by {nest.method}: {_HOW.get(nest.method, 'as it was found')}. The grain "
        "runs along the roll; a piece may be turned end for end, never over. Arrows point as the "
        "arrow of the piece's own drawing.",
    }
    answer = f"The order takes {nest.length:.2f} m of roll, {100.0 * nest.utilisation:.0f} % used"
    subject = words.figures(len(nest.placements), "piece")
    return [Sheet("nest", "Cutting the whole order", answer, subject, "Pattern sheets", body)]
