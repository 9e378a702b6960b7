"""Packers: one that fits, from the crew's own van, with one collar at a time."""

from collections.abc import Iterator

from teewright.kit.values import Crew
from teewright.programme.rules.case import Case, Fault, Use, overlaps


def fits(case: Case) -> Iterator[Fault]:
    """A packer fits its connection."""
    for shift, visit, asked in case.known():
        crew = case.crews.get(shift.crew)
        if crew is not None and _unit(visit.packer, crew)[0] not in asked.packers:
            yield f"{visit.connection_id}: {visit.packer} does not fit.", (visit.connection_id,)


def on_van(case: Case) -> Iterator[Fault]:
    """A packer is on the van of its crew."""
    for shift, visit, _ in case.known():
        crew = case.crews.get(shift.crew)
        if crew is None:
            continue
        name, number = _unit(visit.packer, crew)
        if not 1 <= number <= crew.packers.count(name):
            text = f"{visit.connection_id}: {visit.packer} is not on the van of {crew.name}."
            yield text, (visit.connection_id,)


def one_collar(case: Case) -> Iterator[Fault]:
    """A packer carries one collar at a time, from mixing until it is out."""
    uses: dict[tuple[str, str, int], list[Use]] = {}
    for shift, visit in case.visits():
        crew = case.crews.get(shift.crew, Crew(shift.crew, 0, ()))
        key = (shift.crew, *_unit(visit.packer, crew))
        uses.setdefault(key, []).append((visit.mix, visit.out, visit.connection_id))
    for (crew_name, packer, number), spans in uses.items():
        several = crew_name in case.crews and case.crews[crew_name].packers.count(packer) > 1
        unit = f"{packer} #{number}" if several or number > 1 else packer
        for one, other in overlaps(spans):
            yield f"{crew_name}: {unit} carries {one} and {other} at once.", (one, other)


def _unit(name: str, crew: Crew) -> tuple[str, int]:
    """Name and number of a packer as a visit has it."""
    base, mark, number = name.rpartition(" #")
    if name in crew.packers or not mark or not number.isdigit():
        return name, 1
    return base, int(number)
