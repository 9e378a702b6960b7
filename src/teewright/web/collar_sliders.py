"""Sliders of a collar's page, and what is known at once of where they stand."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from teewright.collar.values import Collar
from teewright.job.values import Design
from teewright.junction.check import ANGLE_RANGE
from teewright.kit.values import Kit
from teewright.report import words
from teewright.units import MM
from teewright.web.quantities import System, quantity
from teewright.web.texts import text
from teewright.web.trying import Bench, Instant, Wish, shape_of

ALONG_MOST, ROUND_MOST = 30.0, 15.0
"""How far off a packer may be tried [mm], [deg]."""
_FILLET_MOST = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """One size that may be tried, in the unit of its slider.

    Attributes:
        name: Of the field.
        value: Where it stands.
        known: What is known of the connection.
        low: Least.
        high: Most.
        unit: `mm` or `deg`.
        source: Where what is known came from.
    """

    name: str
    value: float
    known: float
    low: float
    high: float
    unit: str
    source: str

    def words(self, system: System) -> str:
        """The value as it is shown."""
        si = math.radians(self.value) if self.unit == "deg" else self.value * MM
        return quantity(si, self.unit, system, digits=_digits(self.unit, system))


def _digits(unit: str, system: System) -> int:
    return 2 if unit == "mm" and system is System.US else 0


def sliders(bench: Bench, wish: Wish, system: System = System.METRIC) -> tuple[Slider, ...]:
    """What may be tried, and where it stands now."""
    known, kit = shape_of(bench.inputs), bench.kit
    given = bench.inputs
    main, branch = _span(kit, "main", known.main), _span(kit, "branch", known.branch)
    angle = tuple(math.degrees(end) for end in ANGLE_RANGE)
    host = quantity(given.host_diameter.value, "mm", system, digits=_digits("mm", system))
    sources = {
        "angle": _source(given.angle.source, assumed=given.angle.assumed),
        "main": text("collar.source_main", host=host),
        "branch": _source(given.branch_diameter.source, assumed=given.branch_diameter.assumed),
        "fillet": _source(given.fillet.source, assumed=given.fillet.assumed),
    }
    return (
        _sized("angle", math.degrees(known.angle), _degrees(wish.angle), angle, sources),
        _sized("main", known.main / MM, _millimetres(wish.main), main, sources),
        _sized("branch", known.branch / MM, _millimetres(wish.branch), branch, sources),
        _sized(
            "fillet", known.fillet / MM, _millimetres(wish.fillet), (0.0, _FILLET_MOST), sources
        ),
    )


def place_sliders(wish: Wish) -> tuple[Slider, ...]:
    """How far the packer may be tried off its place."""
    source = {name: text(f"collar.source_{name}") for name in ("along", "round")}
    along, turned = wish.along / MM, math.degrees(wish.round)
    return (
        _sized("along", 0.0, along, (-ALONG_MOST, ALONG_MOST), source),
        _sized("round", 0.0, turned, (-ROUND_MOST, ROUND_MOST), source),
    )


def _sized(
    name: str,
    known: float,
    wished: float | None,
    span: tuple[float, ...],
    sources: Mapping[str, str],
) -> Slider:
    value = known if wished is None else wished
    low, high = min(span[0], math.floor(value)), max(span[1], math.ceil(value))
    unit = "deg" if name in {"angle", "round"} else "mm"
    known_step, value_step = float(round(known)), float(round(value))
    return Slider(
        name=name, value=value_step, known=known_step, low=low, high=high, unit=unit,
        source=sources[name],
    )  # fmt: skip


def _span(kit: Kit, name: str, known: float) -> tuple[float, float]:
    """From the least to the greatest that a packer of the kit serves [mm]."""
    ends = [(getattr(p, f"{name}_min"), getattr(p, f"{name}_max")) for p in kit.packers]
    low = min((a for a, _ in ends), default=known)
    high = max((b for _, b in ends), default=known)
    return math.floor(0.9 * min(low, known) / MM), math.ceil(1.1 * max(high, known) / MM)


def _degrees(value: float | None) -> float | None:
    return None if value is None else math.degrees(value)


def _millimetres(value: float | None) -> float | None:
    return None if value is None else value / MM


def _source(source: str, *, assumed: bool) -> str:
    return text("collar.source_assumed") if assumed else text("collar.source", source=source)


def instant_rows(found: Instant, wish: Wish, system: System) -> Iterator[tuple[str, str, str]]:
    """(name, value, note) of what is known at once."""
    if found.packers:
        yield text("collar.instant.packer"), found.packers[0], ", ".join(found.packers[1:])
    if found.pressure is not None:
        low, at, high = (quantity(p, "bar", system) for p in found.pressure)
        yield text("collar.instant.pressure"), at, text("collar.instant.window", low=low, high=high)
    design = found.design
    if design is not None:
        yield from _times(design)
        wall = design.governing_wall
        yield (
            text("collar.instant.wall"),
            f"{100.0 * wall.utilisation:.0f}\u00a0%",
            text("collar.instant.wall_note", case=design.wall_governs),
        )
    if found.seals is not None and (found.own or wish.keep):
        along, branch = (
            quantity(v, "mm", system, digits=_digits("mm", system)) for v in found.seals
        )
        yield text("collar.instant.seal"), along, text("collar.instant.seal_note", branch=branch)


def _times(design: Design) -> Iterator[tuple[str, str, str]]:
    cure, forecast = design.cure, design.forecast
    yield text("collar.instant.by"), words.span(cure.latest_inflation, up=False), ""
    note = ""
    if forecast is not None:
        chance = f"{math.floor(100.0 * forecast.chance + 1e-9)}"
        note = text("collar.instant.chance", chance=chance)
    yield text("collar.instant.release"), words.span(cure.release_time, up=True), note


def instant_words(found: Instant, bench: Bench, wish: Wish, *, made: bool) -> tuple[str, ...]:
    """Sentences on the collar itself, which the numbers do not say."""
    said = []
    design = bench.design
    if found.not_carried:
        said.append(text("collar.instant.not_carried", reasons=" ".join(found.not_carried)))
    if made:
        return tuple(said)
    if design is not None and found.serves is not None:
        said.append(_serves(found.serves, design.collar, own=found.own))
    if found.placed is False:
        said.append(text("collar.instant.outside"))
    elif found.placed is None and (wish.along or wish.round):
        said.append(text("collar.instant.place_open"))
    elif wish.along or wish.round:
        said.append(text("collar.instant.inside"))
    return tuple(said)


def _serves(share: float, collar: Collar, *, own: bool) -> str:
    if own and share == 0.0:
        return text("collar.instant.own", pattern=collar.pattern)
    if math.isfinite(share) and share <= 1.0:
        return text("collar.instant.serves", pattern=collar.pattern, share=f"{100.0 * share:.0f}")
    key = "unknown" if collar.tolerance is None else "beyond"
    return text(f"collar.instant.{key}", pattern=collar.pattern)
