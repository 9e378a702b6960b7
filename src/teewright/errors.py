"""The error tree.

    TeewrightError
    ├── InputError (ValueError)          given by the user: file, field, value, allowed
    │   ├── FileFormatError              bytes that are not what the reader reads
    │   ├── UnknownNameError             a name that the project or the kit does not hold
    │   └── StaleError                   a change of something that is no longer as it was seen
    ├── RangeError (ValueError)          a formula asked outside its range of validity
    ├── GeometryError (ValueError)       a shape that cannot exist or cannot be made
    │   └── CannotBeMadeError            a collar that kit or place rule out: the reasons
    ├── InfeasibleError (RuntimeError)   a programme that no order of work can satisfy
    ├── ProgrammeCheckError (RuntimeError)  a programme that the checker does not pass
    ├── ConvergenceError (RuntimeError)  a solver that gave up: iterations and residual
    └── StoreError (OSError)             the project file could not be read or written
        └── TamperedError                the chain of events does not verify

Every message is one sentence that a user can act on.
"""

from collections.abc import Iterable


class TeewrightError(Exception):
    """Base of everything that the package raises on purpose."""


class InputError(TeewrightError, ValueError):
    """A value from outside is missing or not allowed.

    Args:
        problem: What is wrong, without the place, e.g. `"is not a number"`.
        file: Name of the file, or `""` when the value came from elsewhere.
        line: Line in the file, from 1, or None.
        field: Name of the field as the user wrote it.
        value: The value as the user wrote it.
        allowed: What would have been accepted.
    """

    def __init__(
        self,
        problem: str,
        *,
        file: str = "",
        line: int | None = None,
        field: str = "",
        value: object = "",
        allowed: str = "",
    ) -> None:
        self.problem, self.file, self.line = problem, file, line
        self.field, self.value, self.allowed = field, value, allowed
        self.others: tuple[InputError, ...] = ()
        """Further faults of the same file, where a reader looks for all of them."""
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        place = self.file + (f", line {self.line}" if self.line else "")
        subject = f"{self.field} = {str(self.value)[:160]!r}" if self.field else ""
        if not self.field and self.value != "":
            subject = f"{str(self.value)[:160]!r}"
        text = " ".join(part for part in (subject, self.problem) if part)
        if place:
            text = f"{place}: {text}"
        return f"{text}; allowed: {self.allowed}" if self.allowed else text


class FileFormatError(InputError):
    """The bytes of a file are not what its reader reads."""


class UnknownNameError(InputError):
    """A connection, run, fabric, resin, packer or crew that is not there."""


class StaleError(InputError):
    """A change of something that somebody else has changed since it was seen.

    Args:
        what: What was changed.
        seen: Version on which the change was made.
        now: Version in force.
    """

    def __init__(self, what: str, *, seen: int, now: int) -> None:
        self.seen, self.now = seen, now
        super().__init__(
            f"the {what} was changed by someone else meanwhile: "
            f"version {now} is in force, not {seen}"
        )


class RangeError(TeewrightError, ValueError):
    """A formula was asked outside the range for which it holds.

    Args:
        quantity: Name from the nomenclature.
        value: The value asked for [SI].
        low: Lower end of the range [SI].
        high: Upper end of the range [SI].
        unit: SI unit of all three.
        law: The formula and its source.
    """

    def __init__(
        self, quantity: str, value: float, *, low: float, high: float, unit: str, law: str
    ) -> None:
        self.quantity, self.value, self.low, self.high = quantity, value, low, high
        self.unit, self.law = unit, law
        # a user reads temperatures in degrees Celsius; the attributes stay SI
        shift, shown = (273.15, "°C") if unit == "K" else (0.0, unit)
        told, least, most = (f"{number - shift:.6g}" for number in (value, low, high))
        super().__init__(
            f"{quantity} = {told} {shown} is outside {least} to {most} {shown}, the range of {law}"
        )


class GeometryError(TeewrightError, ValueError):
    """A junction or a panel that cannot exist."""


class CannotBeMadeError(GeometryError):
    """No collar can be made or set here.

    Args:
        reasons: One sentence each, with the numbers and what would help.
    """

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("; ".join(self.reasons))


class InfeasibleError(TeewrightError, RuntimeError):
    """No order of work satisfies the constraints."""


class ProgrammeCheckError(TeewrightError, RuntimeError):
    """The checker found a breach in a programme that the optimiser made."""


class ConvergenceError(TeewrightError, RuntimeError):
    """A solver gave up.

    Args:
        what: The thing that was solved for.
        iterations: Iterations done.
        residual: What was left, in the unit of the equation.
    """

    def __init__(self, what: str, *, iterations: int, residual: float) -> None:
        self.what, self.iterations, self.residual = what, iterations, residual
        super().__init__(
            f"{what} did not converge in {iterations} iterations (residual {residual:.3g})"
        )


class StoreError(TeewrightError, OSError):
    """The project file cannot be read or written."""


class TamperedError(StoreError):
    """The chain of events does not verify."""
