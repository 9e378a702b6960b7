"""How large a survey may be. Larger than any town's lot is refused before it is compared.

Everything between the file and the last page walks through a survey as a whole; these are the
sizes up to which that has been measured (`benchmarks/web.py`). A larger survey is given in parts,
each to a project of its own.
"""

MOST_LINES = 150_000
"""Lines of all survey files together."""
MOST_RUNS = 5_000
"""Runs of a survey."""
MOST_INSPECTIONS = 20_000
"""Inspections in one file."""
MOST_CONNECTIONS = 50_000
"""Connections of a survey, each listed or found."""
MOST_ON_RUN = 1000
"""Connections coded in one inspection, or listed of one run."""
MOST_PASSES = 300
"""Inspections of one run."""


def at_most(most: int) -> str:
    """What is allowed of a survey as a whole, and what to do about a larger one."""
    return f"at most {most}; give a larger survey in parts, each to a project of its own"
