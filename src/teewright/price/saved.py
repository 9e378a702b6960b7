"""What the seals of a job save."""

from dataclasses import dataclass

from teewright.price.payback import Payback
from teewright.price.water import Saving


@dataclass(frozen=True, slots=True)
class ConnectionSaving:
    """Of one connection that is sealed.

    Attributes:
        connection_id: Connection.
        saving: Water and cost, before and after.
        payback: Against the mean price of a connection in the quotation.
    """

    connection_id: str
    saving: Saving
    payback: Payback


@dataclass(frozen=True, slots=True)
class Savings:
    """What the seals of a job save.

    Attributes:
        connections: Those whose flow is computed, the greatest saving first.
        not_counted: Connections that are sealed, but whose flow nobody knows.
        price: Mean price of a sealed connection, overhead included.
        per_volume: Cost of a cubic metre of water.
    """

    connections: tuple[ConnectionSaving, ...]
    not_counted: tuple[str, ...]
    price: float
    per_volume: float
