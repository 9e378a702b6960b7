"""A hand-made job, realistic in its numbers and invented in all its names."""

import math
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from teewright.assess.values import Assessment, Entry, EntryClass, Need, Reason, Verdict
from teewright.collar.values import Collar, Notch, Panel, Point2
from teewright.findings import Finding, FindingKind, Place
from teewright.hydraulics.values import BypassCheck
from teewright.job.values import Design, Designs, Job, Refusal
from teewright.junction.values import Junction, Seam
from teewright.kit.values import Crew, DesignRules, Fabric, Kit, Packer, Rates, Resin, ShiftRules
from teewright.network.conditions import NodeLevels, RunConditions, Site, Weather
from teewright.network.values import (
    Connection,
    ConnectionKind,
    Defect,
    Direction,
    Run,
    Sighting,
    Survey,
)
from teewright.pressure.values import PressureWindow
from teewright.price.values import Quote, QuoteLine
from teewright.programme.values import Programme, Shift, Unplanned, Visit
from teewright.proof.values import HandoverRecord, HandoverState, LeakTest
from teewright.resin.amount import amount
from teewright.resin.amount_values import Panel as Piece
from teewright.resin.amount_values import ResinAmount
from teewright.resin.values import CureTimes
from teewright.site.values import Event, EventKind, InstallationState
from teewright.trace import Origin, TraceRow
from teewright.wall.collar import collar_wall
from teewright.wall.values import CollarCase, CollarWall, CuredWall, Opening, Part, Rules
from unit.report import landed

PATTERN_STEPS = 96


def kit() -> Kit:
    """An invented kit."""
    fabric = Fabric(
        "needled felt 6",
        ((0.0, 0.006), (5e4, 0.0048)),
        0.87,
        18e3,
        9e3,
        1.08,
        1.25,
        0.008,
        1.5,
        38.0,
        "invented sheet F-1",
    )
    resin = Resin(
        "slow two-part resin",
        1120.0,
        1230.0,
        1160.0,
        0.85,
        1.5,
        ((278.15, 3600.0), (288.15, 2640.0), (298.15, 1500.0)),
        ((278.15, 18000.0), (288.15, 10800.0), (298.15, 5400.0)),
        2.4e9,
        40e6,
        0.5,
        ("isocyanates", "styrene"),
        9.5,
        "invented sheet R-1",
    )
    packer = Packer(
        "tee packer 200-300",
        0.18,
        0.3,
        0.1,
        0.15,
        math.radians(45),
        math.pi / 2,
        1.5e5,
        0.25e5,
        2,
        0.08,
        1.6,
        0.5,
        0.25,
        38.0,
        2,
    )
    rules = ShiftRules(
        72000.0,
        36000.0,
        1800.0,
        1200.0,
        900.0,
        360.0,
        780.0,
        120.0,
        0.1,
        240.0,
        180.0,
        300.0,
        600.0,
        0.2,
        6,
    )
    rates = Rates(
        "EUR",
        420.0,
        2400.0,
        55.0,
        780.0,
        190.0,
        (("re-cut", 240.0), ("remove roots", 310.0)),
        0.08,
    )
    design = DesignRules(
        "needled felt 6",
        "slow two-part resin",
        1.03,
        0.12,
        2.0,
        7.0,
        0.3,
        1.2e5,
        0.1e5,
        0.015,
        0.1,
        18e3,
        20e3,
    )
    crews = (Crew("crew 1", 3, ("tee packer 200-300", "tee packer 200-300")),)
    return Kit(
        title="Yard of invented things",
        invented=True,
        fabrics=(fabric,),
        resins=(resin,),
        packers=(packer,),
        crews=crews,
        shifts=rules,
        rates=rates,
        rules=design,
    )


def _saddle(junction: Junction, phi: float) -> tuple[float, float, float]:
    """Height along the branch, place along the main and round it."""
    big, small = junction.main_diameter / 2, junction.branch_diameter / 2
    s, c = math.sin(junction.angle), math.cos(junction.angle)
    y = small * math.sin(phi)
    height = (math.sqrt(big**2 - y**2) + small * math.cos(phi) * c) / s
    return height, height * c + small * math.cos(phi) * s, big * math.asin(y / big)


def _area(ring: tuple[Point2, ...]) -> float:
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def collar(pattern: str, junction: Junction, *, sleeve: float = 0.4) -> Collar:
    """A collar from the plain development of two cylinders."""
    phis = [2 * math.pi * k / PATTERN_STEPS for k in range(PATTERN_STEPS)]
    saddle = [_saddle(junction, phi) for phi in phis]
    half = math.pi * junction.main_diameter / 2
    lap, edge = 0.015, 0.008
    main_cut = (
        (-half, -sleeve / 2),
        (half + lap, -sleeve / 2),
        (half + lap, sleeve / 2),
        (-half, sleeve / 2),
    )
    middle = sum(x for _, x, _ in saddle) / len(saddle)
    seam = tuple((s, x - middle) for _, x, s in saddle)
    hole = tuple((s * 0.9, x * 0.9) for s, x in seam)
    top = max(h for h, _, _ in saddle) + 0.12
    width = math.pi * junction.branch_diameter
    low = [
        (width * k / PATTERN_STEPS, top - saddle[k % PATTERN_STEPS][0])
        for k in range(PATTERN_STEPS + 1)
    ]
    branch_seam = tuple((x, -y) for x, y in low)
    branch_cut = (
        *((x, y - edge) for x, y in branch_seam),
        (width + lap, branch_seam[-1][1] - edge),
        (width + lap, 0.0),
        (0.0, 0.0),
    )
    marks = [PATTERN_STEPS * k // 8 for k in range(8)]
    main_panel = Panel(
        "main",
        main_cut,
        hole,
        (("saddle", (*seam, seam[0])), ("closing", ((-half, -sleeve / 2), (-half, sleeve / 2)))),
        (((half, -sleeve / 2), (half, sleeve / 2)),),
        tuple(
            Notch(str(k + 1), seam[m], (-math.sin(phis[m]), -math.cos(phis[m])))
            for k, m in enumerate(marks)
        ),
        ((half * 0.7, -sleeve / 4), (half * 0.7, sleeve / 4)),
        (-half * 0.9, sleeve * 0.35),
        _area(main_cut) - _area(hole),
    )
    branch_panel = Panel(
        "branch",
        branch_cut,
        (),
        (("saddle", branch_seam), ("closing", ((0.0, branch_seam[0][1]), (0.0, 0.0)))),
        (((width, branch_seam[-1][1]), (width, 0.0)),),
        tuple(Notch(str(k + 1), branch_seam[m], (0.0, -1.0)) for k, m in enumerate(marks)),
        ((width * 0.6, -0.1), (width * 0.6, -0.02)),
        (width * 0.1, -0.03),
        _area(branch_cut),
    )
    area = main_panel.area + branch_panel.area
    return Collar(
        pattern,
        junction,
        "needled felt 6",
        "saddle seam",
        Seam(0.55, 0.55, 0.55),
        landed.offers(),
        (0.959, 1.25),
        0.0048,
        1.03,
        0.99,
        sleeve,
        0.12,
        0.15,
        (main_panel, branch_panel),
        area,
        area * 0.95,
        0.42,
        (0.415, 0.418),
        (0.985, 1.062),
        landed.landing(),
        landed.tolerance(),
        (
            TraceRow(
                "radius of lined main",
                "R",
                junction.main_diameter / 2,
                "mm",
                source="survey",
                origin=Origin.INPUT,
            ),
            TraceRow(
                "radius of branch",
                "r",
                junction.branch_diameter / 2,
                "mm",
                source="survey",
                origin=Origin.INPUT,
            ),
            TraceRow(
                "angle between the axes",
                "θ",
                junction.angle,
                "deg",
                source="survey",
                origin=Origin.INPUT,
            ),
            TraceRow("fabric area, laps included", "A", area, "m2", "A1 + A2", "geometry"),
        ),
    )


def _pressure(head: float) -> PressureWindow:
    low = 9810.0 * head + 0.25e5 + 0.1e5
    high = 0.83e5
    return PressureWindow(
        low,
        high,
        round((low + high) / 2e3) * 1e3 if low <= high else None,
        (("groundwater", 9810.0 * head), ("bladder", 0.25e5), ("margin", 0.1e5)),
        (("packer", 1.5e5), ("liner", 1.2e5), ("soil and water", high)),
        "bladder",
        "soil and water",
        8400.0,
        (
            TraceRow("water above the crown", "h", head, "m", source="levels", origin=Origin.INPUT),
            TraceRow(
                "groundwater at the crown", "p_w", 9810.0 * head, "bar", "ρ g h", "hydrostatics"
            ),
            TraceRow("least forming pressure", "p_low", low, "bar", "p_w + p_b + p_m", "sum"),
            TraceRow("largest pressure", "p_high", high, "bar", "least of three", "ratings"),
        ),
    )


def _cure() -> CureTimes:
    table = tuple(
        (273.15 + t, 60.0 * m)
        for t, m in ((13, 41), (14, 38), (15, 35), (16, 33), (17, 30), (18, 28))
    )
    hold = tuple(
        (273.15 + t, 60.0 * m)
        for t, m in ((9, 260), (10, 240), (11, 220), (12, 205), (13, 190), (14, 175))
    )
    return CureTimes(
        288.15,
        284.15,
        2640.0,
        2112.0,
        13200.0,
        table,
        hold,
        (
            TraceRow(
                "activation energy, working",
                "E_w",
                54e3,
                "kJ/mol",
                "slope of ln t over 1/T",
                "data sheet",
            ),
            TraceRow("working time", "t_w", 2640.0, "min", "t1 exp(E/R (1/T − 1/T1))", "Arrhenius"),
            TraceRow("latest inflation", "t_d", 2112.0, "min", "t_w (1 − spare)", "kit"),
            TraceRow("release", "t_r", 13200.0, "min", "as above", "Arrhenius"),
        ),
    )


def _resin(area: float) -> ResinAmount:
    piece = Piece("main", area, 0.0048)
    return amount([piece], kit().resin, void_fraction=0.87, fibre_density=1380.0, loss=0.1)


def _walls(head: float) -> CollarWall:
    """Main of 250 mm and branch of 150 mm, 4.5 mm thick, ovality 2 %."""
    main = Part(name="main", diameter=0.25, ovality=0.02, provided=0.0045, head=head)
    return collar_wall(
        CollarCase(
            main=main,
            branch=replace(main, name="branch", diameter=0.15, ovality=0.0),
            opening=Opening(
                branch_diameter=0.15, angle=math.pi / 2.0, broken=0.0, provided=0.0045, head=head
            ),
            wall=CuredWall(modulus=2.4e9, strength=40e6, long_term=0.5, poisson=0.3),
            rules=Rules(safety_factor=2.0, enhancement=7.0),
        )
    )


def _bypass() -> BypassCheck:
    flows = tuple(0.0006 * (1.0 - 0.7 * math.cos((h - 3) * math.pi / 12)) for h in range(24))
    allowed = tuple(h for h, q in enumerate(flows) if q <= 0.0008)
    return BypassCheck(
        0.0008,
        flows,
        allowed,
        max(flows),
        (
            TraceRow(
                "capacity of the bypass",
                "Q_b",
                0.0008,
                "l/s",
                "n A √(2 g h / Σζ)",
                "energy balance",
            ),
        ),
    )


CAUTIONS = (
    (
        "Pressurised packer",
        "Stored energy 8.4 kJ. Nobody in line with it or over the opening; vent before you touch.",
    ),
    ("Isocyanates and styrene", "Trained people only; no skin contact; ventilate."),
    ("Heat", "Left-over resin can boil: spread it thin."),
    ("Flow", "Watch the level upstream; vent and pull out when it reaches the crown."),
)


def design(connection: Connection, pattern: Collar, head: float) -> Design:
    """A complete design for a connection."""
    return Design(
        connection.id,
        pattern.junction,
        pattern,
        ("tee packer 200-300",),
        _resin(pattern.fabric_area),
        _cure(),
        _pressure(head),
        _walls(head + 0.2),
        _bypass(),
        head,
        CAUTIONS,
        ("Wall thickness against groundwater, governing case ring buckling.",),
        (
            TraceRow(
                "chainage", "x", connection.chainage, "m", source="survey", origin=Origin.INPUT
            ),
        ),
    )


def overloaded(design: Design, used: float) -> Design:
    """A design whose wall is used as much, in all its parts."""
    parts = tuple(replace(part, utilisation=used) for part in design.walls.parts)
    return replace(design, walls=replace(design.walls, parts=parts, utilisation=used))


_DEFECTS = {
    Need.SEAL: ("BBF", "B", "groundwater drips in"),
    Need.MAKE_READY: ("BBA", "B", "roots from the branch"),
    Need.LOOK_AGAIN: ("BDG", "", "view blocked"),
    Need.CLOSE_OFF: ("BAH", "E", "blocked branch"),
}


def _connection(
    run: Run, ordinal: int, chainage: float, clock: float | None, need: Need
) -> Connection:
    place = Place("firm-a.txt", 40 + 7 * ordinal, "BCA")
    coded = _DEFECTS.get(need)
    defects = (
        (Defect(coded[0], coded[1], "", None, chainage, clock, coded[2], place),) if coded else ()
    )
    diameter = (0.1, 0.15)[ordinal % 3 == 1]
    sighting = Sighting(
        "firm-a.txt#1",
        "2027-03-02",
        Direction.WITH,
        chainage,
        chainage,
        clock,
        diameter,
        ConnectionKind.SADDLE_DRILLED,
        need != Need.CLOSE_OFF,
        defects,
        place,
    )
    return Connection(
        f"{run.id}/{ordinal:02d}",
        run.id,
        chainage,
        clock,
        diameter,
        (math.pi / 2, math.radians(60), None)[ordinal % 3],
        ConnectionKind.SADDLE_DRILLED if ordinal % 3 else ConnectionKind.JUNCTION,
        need != Need.CLOSE_OFF,
        defects,
        (sighting, replace(sighting, inspection="firm-b.txt#2", date="2027-03-20")),
    )


def _entry(need: Need, head: float) -> Entry:
    if need == Need.LOOK_AGAIN:
        return Entry(None, EntryClass.UNKNOWN, "not known", None, None, "not seen whole")
    if need == Need.LEAVE:
        return Entry(0.0, EntryClass.DRY, "coded class", None, head, "dry in every pass")
    return Entry(
        2.4e-6 * head / 2, EntryClass.DRIPPING, "thin gap", 40.0, head, "gap of 0.1 mm all round"
    )


_WHY = {
    Need.SEAL: Reason(
        "leaks-at-the-edge",
        "Groundwater drips in at the cut edge, and nothing stands in the way of a collar.",
    ),
    Need.MAKE_READY: Reason(
        "roots-first",
        "Roots fill 30 % of the branch; they must be cut out before a collar can land.",
    ),
    Need.LOOK_AGAIN: Reason(
        "not-seen-whole", "The view was blocked; the opening has not been seen whole."
    ),
    Need.CLOSE_OFF: Reason("disused", "Nothing drains through it any more."),
    Need.LEAVE: Reason("whole-and-dry", "Whole and dry in every pass."),
}

_NEEDS = (
    Need.SEAL,
    Need.SEAL,
    Need.MAKE_READY,
    Need.SEAL,
    Need.LEAVE,
    Need.SEAL,
    Need.CLOSE_OFF,
    Need.SEAL,
    Need.LOOK_AGAIN,
    Need.SEAL,
)


def _verdict(connection: Connection, need: Need, rank: int, head: float) -> Verdict:
    work = ("remove roots",) if need == Need.MAKE_READY else ()
    return Verdict(connection.id, need, work, (_WHY[need],), _entry(need, head), rank)


def _visit(design_: Design, start: datetime, packer: str, chainage: float) -> Visit:
    step = timedelta(minutes=1)
    return Visit(
        design_.connection_id,
        design_.connection_id.rsplit("/", 1)[0],
        design_.connection_id.split("-", 1)[0],
        packer,
        start,
        start + 19 * step,
        start + 20 * step,
        start + (26 + round(chainage / 20)) * step,
        start + 30 * step,
        start + 35 * step,
        start + 222 * step,
        start + 220 * step,
        start + 232 * step,
        start + 244 * step,
    )


def shifts(designs: tuple[Design, ...], survey: Survey, per_shift: int = 4) -> tuple[Shift, ...]:
    """Nights of two packers each."""
    out = []
    for number, first in enumerate(range(0, len(designs), per_shift), 1):
        start = datetime.combine(date(2027, 5, 10) + timedelta(days=number), time(20, 0))
        visits = []
        for k, item in enumerate(designs[first : first + per_shift]):
            begin = start + timedelta(minutes=20 + 14 * (k % 2) + 265 * (k // 2))
            packer = "tee packer 200-300" + (" #2" if k % 2 else "")
            visits.append(
                _visit(item, begin, packer, survey.connection(item.connection_id).chainage)
            )
        manhole = (visits[0].manhole, start, start + timedelta(hours=10))
        out.append(
            Shift(
                number,
                "crew 1",
                start.date(),
                start,
                start + timedelta(hours=10),
                tuple(visits),
                (manhole,),
            )
        )
    return tuple(out)


def events(design_: Design) -> tuple[Event, ...]:
    """The log of one installation."""
    start = datetime(2027, 5, 11, 20, 21, tzinfo=UTC)
    steps = (
        (EventKind.MIXED, 0, (("batch", "B-0511-1"), ("temperature", "288.3"))),
        (EventKind.WET_OUT, 18, ()),
        (EventKind.LOWERED, 20, ()),
        (EventKind.IN_PLACE, 27, ()),
        (EventKind.AT_PRESSURE, 30, (("pressure", "65000"),)),
        (EventKind.RELEASED, 224, ()),
        (EventKind.OUT, 233, ()),
    )
    return tuple(
        Event(
            f"00000000-0000-4000-8000-0000000000{k:02d}",
            f"{design_.connection_id}#1",
            kind,
            start + timedelta(minutes=minutes),
            start + timedelta(minutes=minutes, seconds=20),
            "tablet-1",
            k + 1,
            "crew leader",
            data,
            "0" * 64,
            f"{k:02x}" * 32,
        )
        for k, (kind, minutes, data) in enumerate(steps)
    )


def _levels(node: str, k: int) -> NodeLevels:
    return NodeLevels(
        node,
        52.6 - 0.4 * k,
        48.0 - 0.35 * k,
        50.1 - 0.3 * k,
        "highest of 14 readings, gauge at N13",
    )


def _quote(designs: int, shift_count: int) -> Quote:
    lines = (
        QuoteLine(
            "Collar, made to pattern",
            designs,
            "each",
            420.0,
            designs * 420.0,
            "one for each design",
        ),
        QuoteLine(
            "Fabric", 0.55 * designs, "m2", 38.0, 0.55 * designs * 38.0, "inside the cut lines"
        ),
        QuoteLine(
            "Resin, packs opened", 2 * designs, "pack", 14.25, 2 * designs * 14.25, "1.5 kg each"
        ),
        QuoteLine("Make ready: remove roots", 1, "each", 310.0, 310.0, "before the collar"),
        QuoteLine(
            "Shift of a crew", shift_count, "shift", 2400.0, shift_count * 2400.0, "people and van"
        ),
        QuoteLine("Leak test and record", designs, "each", 55.0, designs * 55.0, ""),
        QuoteLine("Close off", 1, "each", 780.0, 780.0, ""),
        QuoteLine("Film again", 1, "each", 190.0, 190.0, ""),
    )
    net = sum(line.sum for line in lines)
    return Quote("EUR", lines, net, 0.08 * net, 1.08 * net, 1.08 * net + 1450.0)


def _survey(counts: tuple[int, ...], lengths: tuple[float, ...]) -> tuple[Survey, list[Need]]:
    runs, connections, needs = [], [], []
    for k, (n, length) in enumerate(zip(counts, lengths, strict=True)):
        run = Run(
            f"N{13 + k}-N{14 + k}",
            f"N{13 + k}",
            f"N{14 + k}",
            length,
            0.2,
            "clay",
            lined=True,
            inspections=("firm-a.txt#1",),
        )
        runs.append(run)
        for i in range(n):
            chainage = round(length * (i + 0.55 + 0.3 * math.sin(5 * i + k)) / (n + 0.3), 2)
            need = _NEEDS[(i + 3 * k) % len(_NEEDS)]
            clock = (10.0, 2.0, 10.5, 3.0, 1.0, 9.0, 11.0, None)[(i * 3 + k) % 8]
            connections.append(_connection(run, i + 1, chainage, clock, need))
            needs.append(need)
    return Survey((), tuple(runs), tuple(connections), ()), needs


def _findings() -> tuple[Finding, ...]:
    many = [
        Finding(
            FindingKind.REPAIRED,
            "decimal-comma",
            "A decimal comma was read as a point.",
            Place("firm-b.txt", 12 + 3 * k, "I"),
            "12,40",
        )
        for k in range(34)
    ]
    return (
        *many,
        Finding(
            FindingKind.GUESSED,
            "direction-from-nodes",
            "The direction of travel was taken from the start node.",
            Place("firm-a.txt", 3, "AAK"),
        ),
        Finding(
            FindingKind.ASSUMED,
            "default-cover",
            "Ground above the crown is not known; 2.5 m was used.",
            subject="N15-N16",
        ),
        Finding(
            FindingKind.DOUBT,
            "sightings-disagree",
            "Two passes give clock 10 and 11 for the same connection.",
            Place("firm-b.txt", 88, "BCA"),
            "11",
            "N13-N14/03",
        ),
        Finding(
            FindingKind.DROPPED,
            "unknown-code",
            "Code QQQ is not in the standard; the line was kept aside.",
            Place("firm-b.txt", 91),
            "QQQ",
        ),
    )


def make_job(
    counts: tuple[int, ...] = (5, 4, 3),
    lengths: tuple[float, ...] = (52.1, 46.2, 38.7),
    *,
    levels: bool = True,
    per_shift: int = 4,
    logged: bool = True,
) -> Job:
    """A whole job with as many connections in each run as asked for."""
    survey, needs = _survey(counts, lengths)
    heads = [1.6 + 0.02 * c.chainage for c in survey.connections]
    verdicts = tuple(
        _verdict(c, need, k + 1, head)
        for k, (c, need, head) in enumerate(zip(survey.connections, needs, heads, strict=True))
    )
    patterns: dict[tuple[float, float], Collar] = {}
    designs: list[Design] = []
    refusals: list[Refusal] = []
    for connection, need, head in zip(survey.connections, needs, heads, strict=True):
        if need not in {Need.SEAL, Need.MAKE_READY}:
            continue
        if connection.clock is None and not refusals:
            refusals.append(
                Refusal(connection.id, ("The clock position is not known; film it again.",))
            )
            continue
        key = (connection.diameter or 0.15, connection.angle or math.pi / 2)
        if key not in patterns:
            patterns[key] = collar(f"P{len(patterns) + 1}", Junction(0.188, key[0], key[1], 0.005))
        designs.append(design(connection, patterns[key], head))
    plan = shifts(tuple(designs), survey, per_shift)
    return _assembled(
        survey, verdicts, tuple(designs), tuple(refusals), plan, levels=levels, logged=logged
    )


def _assembled(
    survey: Survey,
    verdicts: tuple[Verdict, ...],
    designs: tuple[Design, ...],
    refusals: tuple[Refusal, ...],
    plan: tuple[Shift, ...],
    *,
    levels: bool,
    logged: bool,
) -> Job:
    nodes = tuple(_levels(f"N{13 + k}", k) for k in range(len(survey.runs) + 1)) if levels else ()
    site = Site(
        "Harrowmere, Mill Lane",
        "Harrowmere",
        "the town's drainage board",
        invented=True,
        nodes=nodes,
        runs=tuple(
            RunConditions(
                r.upstream, r.downstream, lined=True, liner_thickness=0.006, street="Mill Lane"
            )
            for r in survey.runs
        ),
        weather=Weather(288.15, 284.15, "forecast for the week"),
    )
    log = events(designs[0]) if designs and logged else ()
    test = LeakTest(
        "LC",
        passed=True,
        required_time=63.0,
        observed_time=70.0,
        limit=1500.0,
        measured=310.0,
        reason="The drop is within the limit.",
        trace=(),
    )
    records = tuple(
        HandoverRecord(
            v.connection_id,
            HandoverState.PLANNED
            if v.need in {Need.SEAL, Need.MAKE_READY}
            else HandoverState.NOT_SEALED,
            "",
            None,
            (),
            (),
        )
        for v in verdicts
    )
    states: tuple[InstallationState, ...] = ()
    if log:
        cid = designs[0].connection_id
        records = tuple(
            replace(
                r,
                state=HandoverState.TIGHT,
                installation=f"{cid}#1",
                test=test,
                open_points=("the film after the work",),
            )
            if r.connection_id == cid
            else r
            for r in records
        )
        states = (
            InstallationState(
                f"{cid}#1",
                EventKind.OUT,
                "Test it for leaks.",
                None,
                None,
                (),
                finished=False,
                aborted=False,
            ),
        )
    unplanned = (
        (
            Unplanned(
                designs[-1].connection_id,
                "access-window",
                "The street is free for 120 min, the work needs 244 min.",
            ),
        )
        if designs
        else ()
    )
    programme = Programme(plan, unplanned, len(plan), proved=True)
    return Job(
        survey,
        site,
        kit(),
        Assessment(verdicts, ()),
        Designs(designs, refusals, ()),
        programme,
        _quote(len(designs), len(plan)),
        log,
        states,
        records,
        _findings(),
        "02540c5b",
    )


MADE = date(2027, 5, 3)
