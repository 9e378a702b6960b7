"""Corrections by hand: what there are, one more, one of them back."""

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from teewright.bench.amending import corrections_of, key_of
from teewright.network.corrections import Act, Correction
from teewright.web import correcting
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks

router = APIRouter(prefix="/corrections", tags=["job"])


class New(BaseModel):
    """One correction.

    Attributes:
        what: What is corrected.
        why: In plain words.
    """

    model_config = ConfigDict(extra="forbid")
    what: correcting.Asked
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
    return tuple(
        Kept(key=key_of(one), what=one.what, who=one.who, at=one.at, why=one.why)
        for one in corrections_of(known.inputs)
    )


@router.post("", status_code=201)
def correct(new: New, office: TheOffice, known: WhatIsKnown, who: WhoAsks) -> Correction:
    """Correct something; the files stay as they are and the correction beside them."""
    return correcting.correct(office, known, [new.what], who=who.name, why=new.why)[0]


@router.delete("/last")
def take_back(office: TheOffice) -> Correction | None:
    """Take the last correction back; null where there is none."""
    return correcting.take_back(office)


@router.delete("/{key}")
def take_one_back(key: str, office: TheOffice) -> Correction | None:
    """Take one correction back, by its key; the others stay."""
    return correcting.take_back(office, key)
