"""Designs of the invented town found again by other methods than the package's.

Nothing of the rooms is called here: the geometry is integrated over a canal surface, roots are
bracketed, and the laws are written out once more from their books.
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from teewright.job.assessing import assess_survey
from teewright.job.designing import design_job
from teewright.job.values import Design
from teewright.kit.values import Packer
from unit.job import world

NAMES = ("T01-T02/03", "T03-T04/02", "T06-T03/06", "T04-T07/01")
WATER = 9810.0
Points = tuple[tuple[float, float], ...]


@pytest.fixture(scope="module")
def designs() -> dict[str, Design]:
    site, survey = world.site(), world.survey()
    found = design_job(survey, site, world.kit(), assess_survey(survey, site))
    return {d.connection_id: d for d in found.designs}


@pytest.fixture(params=NAMES)
def design(request: pytest.FixtureRequest, designs: dict[str, Design]) -> Design:
    return designs[request.param]


def given(design: Design) -> dict[str, float]:
    return {row.symbol: row.value for row in design.trace}


def packer(design: Design) -> Packer:
    return {p.name: p for p in world.kit().packers}[design.packers[0]]


def chords(line: Any) -> Any:
    return np.linalg.norm(np.diff(line, axis=0), axis=1)


def inside(line: Any) -> float:
    x, y = line[:, 0], line[:, 1]
    return abs(float(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1]))) / 2.0


class RolledEdge:
    """A ball rolled along two cylinders, its contacts from the nearest points of their axes."""

    def __init__(self, design: Design, samples: int = 8001) -> None:
        j, t = design.collar.junction, design.collar.thickness
        self.R, self.r = (j.main_diameter - t) / 2.0, (j.branch_diameter - t) / 2.0
        self.rho, a = j.fillet + t / 2.0, j.angle
        self.phi = np.linspace(-math.pi, math.pi, samples)
        axis, e = np.array([math.cos(a), 0, math.sin(a)]), np.array([math.sin(a), 0, -math.cos(a)])
        across = np.array([0.0, 1.0, 0.0])
        round_ = np.outer(np.cos(self.phi), e) + np.outer(np.sin(self.phi), across)
        path = (self.r + self.rho) * round_
        # up the generator until the main's axis is R + rho away
        rise = np.sqrt((self.R + self.rho) ** 2 - path[:, 1] ** 2) - path[:, 2]
        self.centre = path + np.outer(rise / math.sin(a), axis)
        self.to_main = self._unit(self.centre * np.array([0.0, -1.0, -1.0]))
        self.to_branch = self._unit(np.outer(self.centre @ axis, axis) - self.centre)
        self.beta = np.arccos(np.clip((self.to_main * self.to_branch).sum(axis=1), -1.0, 1.0))
        self.seam = self.centre + self.rho * self._unit(self.to_main + self.to_branch)
        on_main = self.centre + self.rho * self.to_main
        psi = np.arctan2(on_main[:, 1], on_main[:, 2])
        self.main_line = np.column_stack([on_main[:, 0], self.R * psi])
        along = (self.centre + self.rho * self.to_branch) @ axis
        self.branch_line = np.column_stack([self.r * self.phi, along])
        main_frame = (
            np.tile([1.0, 0.0, 0.0], (samples, 1)),
            np.column_stack([np.zeros(samples), np.cos(psi), -np.sin(psi)]),
        )
        branch_frame = (
            np.outer(np.cos(self.phi), across) - np.outer(np.sin(self.phi), e),
            np.tile(axis, (samples, 1)),
        )
        self.main_seam = self._carried(self.main_line, self.to_main, self.to_branch, main_frame)
        self.branch_seam = self._carried(
            self.branch_line, self.to_branch, self.to_main, branch_frame
        )

    @staticmethod
    def _unit(v: Any) -> Any:
        return v / np.linalg.norm(v, axis=1)[:, None]

    def _carried(self, line: Any, here: Any, there: Any, frame: tuple[Any, Any]) -> Any:
        """Half the arc further, straight on in the tangent plane."""
        towards = self._unit(there - (there * here).sum(axis=1)[:, None] * here)
        way = np.column_stack([(towards * axis).sum(axis=1) for axis in frame])
        return line + (self.rho * self.beta / 2.0)[:, None] * way

    def area(self) -> float:
        """Of the rounded edge: a canal surface has dA = rho (1 - rho k.u) dv ds."""
        speed = np.linalg.norm(np.gradient(self.centre, self.phi, axis=0), axis=1)
        tangent = np.gradient(self.centre, self.phi, axis=0) / speed[:, None]
        bend = np.gradient(tangent, self.phi, axis=0) / speed[:, None]
        shares = np.linspace(0.0, 1.0, 21)
        strips = [self._strip(bend, share) for share in shares]
        return float(np.trapezoid(np.trapezoid(strips, shares, axis=0) * speed, self.phi))

    def _strip(self, bend: Any, share: float) -> Any:
        u = np.sin((1.0 - share) * self.beta)[:, None] * self.to_main
        u = (u + np.sin(share * self.beta)[:, None] * self.to_branch) / np.sin(self.beta)[:, None]
        return self.rho * (1.0 - self.rho * (bend * u).sum(axis=1)) * self.beta


def test_seam_and_its_stretch(design: Design) -> None:
    edge, collar = RolledEdge(design), design.collar
    formed = chords(edge.seam)
    cut = [chords(line) / collar.stretch for line in (edge.main_seam, edge.branch_seam)]
    assert collar.seam_length == pytest.approx(formed.sum(), rel=1e-5)
    assert collar.seam_edges == pytest.approx([part.sum() for part in cut], rel=1e-5)
    ratios = np.concatenate([formed / part for part in cut])
    assert collar.seam_stretch == pytest.approx((ratios.min(), ratios.max()), rel=1e-4)
    excess = 2.0 * edge.rho * (np.tan(edge.beta / 2.0) - edge.beta / 2.0)
    assert collar.excess == pytest.approx((excess.min(), excess.max()), rel=1e-4)


def test_formed_area(design: Design) -> None:
    edge, collar = RolledEdge(design), design.collar
    top = edge.branch_seam[:, 1].max() + collar.branch_length
    main = 2.0 * math.pi * edge.R * collar.sleeve_length - inside(edge.main_line)
    branch = float(np.trapezoid(top - edge.branch_line[:, 1], edge.branch_line[:, 0]))
    assert collar.formed_area == pytest.approx(main + branch + edge.area(), rel=1e-5)


def test_area_of_the_panels_cut(design: Design) -> None:
    """Steiner: a line carried outwards by a makes a strip a L, and pi a^2 once round a hole."""
    edge, collar, kit = RolledEdge(design), design.collar, world.kit()
    lam, a, lap = collar.stretch, kit.fabric.seam_allowance, kit.rules.lap
    hole = inside(edge.main_seam) / lam**2 - a * chords(edge.main_seam).sum() / lam
    width = 2.0 * math.pi * edge.R / lam + lap
    main = width * collar.sleeve_length / lam - (hole + math.pi * a**2)
    assert collar.panels[0].area == pytest.approx(main, rel=1e-5)
    seam = edge.branch_seam
    top = seam[:, 1].max() + collar.branch_length
    under = float(np.trapezoid(top - seam[:, 1], seam[:, 0])) / lam**2
    strip = a * chords(seam).sum() / lam
    branch = under + strip + lap * ((top - seam[0, 1]) / lam + a)
    assert collar.panels[1].area == pytest.approx(branch, rel=3e-4)


def test_resin(design: Design) -> None:
    kit, window = world.kit(), design.pressure
    own = sum(p for name, p in window.low_parts if name != "margin")
    assert window.set is not None
    pressures, thicknesses = zip(*kit.fabric.thickness, strict=True)
    felt = float(np.interp(window.set - own, pressures, thicknesses))
    voids = design.collar.fabric_area * felt * kit.fabric.void_fraction
    mass = voids / (1.0 - kit.rules.loss) * kit.resin.density
    assert design.resin.mass == pytest.approx(mass)
    ratio = kit.resin.ratio_mass
    parts = (mass / (1.0 + ratio), mass * ratio / (1.0 + ratio))
    assert (design.resin.mass_a, design.resin.mass_b) == pytest.approx(parts)
    assert design.resin.packs == math.ceil(mass / kit.resin.pack_mass)


def arrhenius(points: Points, temperature: float) -> float:
    """Rate k = A exp(-E/RT) through the two points about a temperature; time is 1/k."""
    after = next(i for i, (T, _) in enumerate(points) if temperature <= T)
    (T1, t1), (T2, t2) = points[after - 1], points[after]
    energy = 8.314462618 * math.log(t1 / t2) / (1.0 / T1 - 1.0 / T2)
    factor = math.exp(energy / (8.314462618 * T1)) / t1
    return 1.0 / (factor * math.exp(-energy / (8.314462618 * temperature)))


def test_times(design: Design) -> None:
    kit, weather = world.kit(), world.site().weather
    assert weather is not None
    warm, cold = max(weather.air, weather.pipe), min(weather.air, weather.pipe)
    latest = (1.0 - kit.shifts.spare_share) * arrhenius(kit.resin.working_time, warm)
    assert design.cure.latest_inflation == pytest.approx(latest)
    assert design.cure.release_time == pytest.approx(arrhenius(kit.resin.release_time, cold))


def test_pressure_window_and_stored_energy(design: Design) -> None:
    kit, known, used = world.kit(), given(design), packer(design)
    bore = min(known["D"], known["d"])
    hoop = max(kit.fabric.stiffness_along, kit.fabric.stiffness_across)
    forming = 2.0 * hoop * (kit.rules.stretch - 1.0) / bore
    water = WATER * max(known["h"], 0.0)
    low = water + used.bladder_pressure + forming + kit.rules.pressure_margin
    assert design.pressure.low == pytest.approx(low)
    assert kit.rules.liner_pressure is not None
    assert design.pressure.high == pytest.approx(min(used.rating, kit.rules.liner_pressure))
    assert design.pressure.set is not None
    absolute = design.pressure.set + 101325.0
    gas = math.pi / 4.0 * (known["D"] ** 2 * used.length + known["d"] ** 2 * used.branch_reach)
    work, _ = quad(lambda v: absolute * gas / v, gas, absolute * gas / 101325.0)
    assert design.pressure.stored_energy == pytest.approx(work)


def root(residual: Callable[[float], float]) -> float:
    return float(brentq(residual, 1e-5, 0.05, xtol=1e-12))


def test_wall_cases(design: Design) -> None:
    kit, known = world.kit(), given(design)
    q, D, resin = known["q"], known["D"], kit.resin
    P, N, K = WATER * known["h"], kit.rules.safety_factor, kit.rules.enhancement
    E, s = resin.modulus * resin.long_term, resin.strength * resin.long_term
    C = ((1.0 - q) / (1.0 + q) ** 2) ** 3
    v = kit.rules.poisson
    buckling = root(lambda t: 2.0 * K * E / (1.0 - v**2) / (D / t - 1.0) ** 3 * C / N - P)
    bending = root(
        lambda t: 1.5 * q * (1.0 + q) * (D / t) ** 2 - 0.5 * (1.0 + q) * D / t - s / (P * N)
    )
    cases = dict(design.wall.cases)
    assert cases["buckling under groundwater"] == pytest.approx(buckling)
    assert cases["bending of the oval ring"] == pytest.approx(bending)
    pressures, thicknesses = zip(*kit.fabric.thickness, strict=True)
    assert design.pressure.set is not None
    felt = float(np.interp(design.pressure.set, pressures, thicknesses))
    # the same fibre over a larger area
    assert design.wall.provided == pytest.approx(felt / kit.rules.stretch**2)


def test_bypass(design: Design) -> None:
    known, used = given(design), packer(design)
    head, d, length, v = known["D"] / 2.0, used.bypass_diameter, used.length, 1.0
    for _ in range(60):
        reynolds = v * d / 1.31e-6

        def colebrook(f: float, reynolds: float = reynolds) -> float:
            return 1.0 / math.sqrt(f) + 2.0 * math.log10(
                0.6e-3 / (3.7 * d) + 2.51 / (reynolds * math.sqrt(f))
            )

        f = float(brentq(colebrook, 1e-3, 1.0))
        v = math.sqrt(2.0 * 9.81 * head / (1.5 + f * length / d))
    flow = used.bypass_count * v * math.pi * d**2 / 4.0
    assert design.bypass.capacity == pytest.approx(flow, rel=1e-6)
