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
        declared: Coded class of entry whose flow the engineer declared, or `""` where the flow is
            computed.
    """

    connection_id: str
    saving: Saving
    payback: Payback
    declared: str = ""


@dataclass(frozen=True, slots=True)
class Savings:
    """What the seals of a job save.

    Attributes:
        connections: Those whose flow is computed or declared, the greatest saving first.
        not_counted: Connections that are sealed, but whose flow nobody knows.
        price: Mean price of a sealed connection, overhead included.
        per_volume: Cost of a cubic metre of water.
        left: Share of the entry that is left once sealed [-].
        source: Where the declared flows came from.
        moving: Whether levels of a tide or river are told, which these figures do not follow.
    """

    connections: tuple[ConnectionSaving, ...]
    not_counted: tuple[str, ...]
    price: float
    per_volume: float
    left: float = 0.0
    source: str = ""
    moving: bool = False
