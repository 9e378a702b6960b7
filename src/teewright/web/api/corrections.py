"""Corrections by hand: what there are, one more, one of them back."""

from collections.abc import Sequence

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from teewright.bench.amending import corrections_of, key_of
from teewright.formats import corrections_json
from teewright.network.corrections import Act, Correction
from teewright.web import correcting
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks

router = APIRouter(prefix="/corrections", tags=["job"])
MOST = 500
"""Most corrections in one request."""


class New(BaseModel):
    """One correction.

    Attributes:
        what: What is corrected.
        why: In plain words.
    """

    model_config = ConfigDict(extra="forbid")
    what: correcting.Asked
    why: str = Field(default="", max_length=correcting.LONGEST_REASON)


class Several(BaseModel):
    """Several corrections for one reason, e.g. of all fields of a connection; each field once.

    Attributes:
        what: What is corrected; ids are those of now in all of them.
        why: In plain words.
    """

    model_config = ConfigDict(extra="forbid")
    what: list[correcting.Asked] = Field(min_length=1, max_length=MOST)
    why: str = Field(default="", max_length=correcting.LONGEST_REASON)


class Kept(BaseModel):
    """One correction as it is kept.

    Attributes:
        key: By which it is taken back.
        what: What is corrected.
        who: Name or role of the person.
        at: When, ISO 8601 with time zone.
        why: In plain words, or `""`.
    """

    key: str
    what: Act
    who: str
    at: str
    why: str


@router.get("")
def corrections(known: WhatIsKnown) -> tuple[Kept, ...]:
    """All corrections, the oldest first."""
    return _kept(corrections_of(known.inputs))


@router.post("", status_code=201)
def correct(new: New, office: TheOffice, known: WhatIsKnown, who: WhoAsks) -> Correction:
    """Correct something; the files stay as they are and the correction beside them."""
    return correcting.correct(office, known, [new.what], who=who.name, why=new.why)[0]


@router.post("/several", status_code=201)
def correct_several(
    new: Several, office: TheOffice, known: WhatIsKnown, who: WhoAsks
) -> tuple[Kept, ...]:
    """Correct several things at once, all or none; each is one entry and can be taken back."""
    made = correcting.correct(office, known, new.what, who=who.name, why=new.why)
    return _kept(corrections_json.read(corrections_json.write(made)))  # as they are kept


@router.delete("/last")
def take_back(office: TheOffice) -> Correction | None:
    """Take the last correction back; null where there is none."""
    return correcting.take_back(office)


@router.delete("/{key}")
def take_one_back(key: str, office: TheOffice) -> Correction | None:
    """Take one correction back, by its key; the others stay."""
    return correcting.take_back(office, key)


def _kept(corrections: Sequence[Correction]) -> tuple[Kept, ...]:
    return tuple(
        Kept(key=key_of(one), what=one.what, who=one.who, at=one.at, why=one.why)
        for one in corrections
    )
