"""Cautions of the printed sheets: where work can hurt, briefly, and local rules first."""

from collections.abc import Iterable, Sequence

Caution = tuple[str, str]
"""Cause, and one short act."""

REVIEW = "Wall thickness and pressure are for review by a qualified engineer under the local code."
"""Said with every structural result."""
RIGHTS = (
    "Making and fitting a collar is the contractor's act: see to product approval and to the "
    "rights of third parties in shaped collars."
)
"""Said with every collar."""

_COLLAR: tuple[tuple[tuple[str, ...], Caution], ...] = (
    (
        ("packer", "pressur", "energy"),
        (
            "Pressurised packer",
            "Nobody in line with it or over the opening; vent before you touch.",
        ),
    ),
    (("heat", "hot", "exotherm"), ("Heat", "Mixed resin left in a heap can boil: spread it thin.")),
    (
        ("flow", "surge", "water"),
        (
            "Flow",
            "The main is partly blocked: watch the level upstream, vent and pull out in time.",
        ),
    ),
    (
        ("waste", "left"),
        ("Waste", "Let left-over resin cure; take it away as the local rules say."),
    ),
)
_SHIFT: tuple[Caution, ...] = (
    ("Later than “by”: do not place it", "Pull back; a batch is lost, the junction is not."),
    (
        "Packer under pressure",
        "One person stays by it, nobody in line with it; vent before you touch.",
    ),
    ("Confined space and gas", "Local permit first."),
    ("Traffic, lifting", "Lane closed; nobody under the load."),
    ("Flow", "One person watches the level upstream; if it rises: vent, pull out."),
)


def of_collar(given: Sequence[Caution], hazards: Iterable[str]) -> list[Caution]:
    """Cautions of a collar sheet: those given, then every standing one that none of them names.

    Args:
        given: (cause, act) pairs of the design.
        hazards: Words for the resin's hazards.

    Returns:
        Pairs in the order in which they are printed.
    """
    out = [(cause.rstrip(". "), act) for cause, act in given]
    named = " ".join(f"{cause} {act}" for cause, act in given).casefold()
    missing = [h for h in hazards if h.casefold() not in named]
    if missing:
        cause = " and ".join(missing)
        act = "Trained people only, gloves and eyes covered, air moving; read the data sheet."
        out.append((cause[:1].upper() + cause[1:], act))
    causes = " ".join(cause for cause, _ in given).casefold()
    for keys, caution in _COLLAR:
        if not any(key in causes for key in keys):
            out.append(caution)
    return out


def of_shift() -> list[Caution]:
    """Cautions of a shift sheet."""
    return list(_SHIFT)
