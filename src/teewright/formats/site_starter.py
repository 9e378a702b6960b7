"""A site file to begin with: the nodes, runs and connections of a survey, nothing declared yet."""

import json
from collections.abc import Iterator

from teewright.network.values import Connection, Run, Survey

LONGEST_NAME = 60
"""Longest name of a node or run that a site file takes [signs]."""
_TOP = """\
# Site file: what is known of the place besides the survey. Fill in what you know and take the #
# away; what nobody knows stays out and is taken from [defaults], which is then a finding.
# Every key is explained in docs/site.md. Levels are above one datum of your choice.

# title = "Name of the job"
# place = "Town or district"
# client = ""
# first_day = 2027-05-03
# ready_days = 1          # days until the make-ready work is done
# flow_pattern = []       # 24 hourly factors of the mean flow, from midnight
# infiltration_l_s =      # constant, beyond the mean flow
# rain = { start = "22:30", peak_l_s = 2, duration_h = 1 } # a shower to look at
# water_levels_source = ""
# water_levels = []       # of a tide or river: { time = "2027-05-03 18:00", level_m = 5 }, ...

# [damping]               # of the swing of the open water, inland
# period_h =
# diffusivity_m2_s =
# source = ""

# [entry]                 # flow of a coded class, of one connection
# dripping_l_h =          # likewise sweating, flowing, gushing
# source = ""

# [weather]
# air_c =                 # of the resin when mixed
# pipe_c =                # of the main's wall while the collar cures
# ground_c =              # round the pipe; without it the pipe's
# pack_c =                # of the packs when mixed; without it the air's
# air_path = []           # over the hours of work: { time = "21:00", temperature_c = 12 }, ...
# source = ""
"""
_NODE = """\
# ground_m =
# invert_m =
# groundwater_m =         # the highest
# groundwater_source = ""
# area_m2 =               # of the manhole, in plan
# bank_distance_m =       # from the open water of water_levels
"""
_RUN = """\
# lined = true
# liner_thickness_mm =
# host_cracked = false
# ovality_percent =
# mean_flow_l_s =
# street = ""
# host_thickness_mm =     # what is left of the wall
# host_strength_mpa =     # tension round the ring that a sound host is allowed
# host_material = ""
# manning_n =             # of the main
# over_pumping_l_s =      # carried round the packer by pumps that are set up
# deteriorated = "partly" # "fully" where the collar must carry soil and traffic; then also these:
# soil_modulus_mpa =      # of soil reaction beside the pipe
# traffic_kpa =           # at the crown, 0 for none; or wheel_load_kn (and wheels_beside_m)
# access = [{ start = "21:00", end = "05:00" }]
"""
_CONNECTION = """\
# angle_deg =
# gap_mm =                # measured
# disused = true
# must_leave = ""         # the reason
# note = ""
# backwater_level_m =     # that water in the main must not reach: a floor or gully that drains here
# backwater_source = ""
# branch_invert_m =       # where it joins
# branch_ovality_percent =
# branch_pipe = { cracked = false, thickness_mm = 15, strength_mpa = 1, pressure_bar = 2 }
# fillings = []           # { what = "annulus", volume_l = 0.2, source = "camera" }, ...
"""


def starter_site(survey: Survey) -> str:
    """A site file that names what a survey holds and declares nothing.

    Args:
        survey: Reconciled survey.

    Returns:
        TOML that `read_site` reads; a name that a site file does not take is left out.
    """
    return "\n".join([_TOP, *_nodes(survey), *_runs(survey), *_connections(survey)])


def _nodes(survey: Survey) -> Iterator[str]:
    ends = dict.fromkeys(end for run in survey.runs for end in (run.upstream, run.downstream))
    for node in ends:
        if _fits(node):
            yield f"[[nodes]]\nnode = {_quoted(node)}\n{_NODE}"


def _runs(survey: Survey) -> Iterator[str]:
    pairs: set[frozenset[str]] = set()
    for run in survey.runs:
        ends = frozenset((run.upstream, run.downstream))
        if ends not in pairs and len(ends) == 2 and all(map(_fits, ends)):
            yield _run(run)
        pairs.add(ends)


def _run(run: Run) -> str:
    up, down = _quoted(run.upstream), _quoted(run.downstream)
    return f"[[runs]]\nupstream = {up}\ndownstream = {down}\n{_RUN}"


def _connections(survey: Survey) -> Iterator[str]:
    yield "# Notes on single connections: take the # away from those that you know more of.\n"
    for connection in survey.connections:
        if _fits(connection.run_id) and connection.chainage >= 0.0:
            yield _connection(connection)


def _connection(connection: Connection) -> str:
    lines = [
        "# [[connections]]",
        f"# run = {_quoted(connection.run_id)}",
        f"# chainage_m = {connection.chainage:.2f}",
        f"# clock = {connection.clock:g}" if connection.clock is not None else "# clock =",
        *([] if connection.diameter else ["# diameter_mm ="]),
    ]
    return "\n".join(lines) + f"\n{_CONNECTION}"


def _fits(name: str) -> bool:
    return 0 < len(name) <= LONGEST_NAME and name.isprintable()


def _quoted(name: str) -> str:
    """A name as TOML has it: its basic strings are written as those of JSON are."""
    return json.dumps(name, ensure_ascii=False)
