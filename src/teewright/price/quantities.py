"""What a job takes, counted before it is priced."""

from dataclasses import dataclass, fields
from math import isfinite

from teewright.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantities:
    """Counts and amounts of a job.

    Attributes:
        collars: Collars to make and install.
        fabric_area: Fabric to buy for them, with the waste of cutting [m2].
        resin_packs: Packs to open.
        resin_mass: Resin in the packs to open, both parts [kg].
        shifts: Shifts of a crew.
        tests: Leak tests.
        make_ready: (kind of make-ready work, count) pairs.
        close_offs: Connections to close off.
        look_agains: Connections to film again.
    """

    collars: int = 0
    fabric_area: float = 0.0
    resin_packs: int = 0
    resin_mass: float = 0.0
    shifts: int = 0
    tests: int = 0
    make_ready: tuple[tuple[str, int], ...] = ()
    close_offs: int = 0
    look_agains: int = 0

    def checked(self) -> "Quantities":
        """The same quantities; `InputError` where one is negative or no number."""
        for field in fields(self):
            value = getattr(self, field.name)
            pairs = value if field.name == "make_ready" else ((field.name, value),)
            for name, amount in pairs:
                if not (isfinite(amount) and amount >= 0):
                    raise InputError(
                        "is no quantity", field=name, value=amount, allowed="0 or more"
                    )
        return self
