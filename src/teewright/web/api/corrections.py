"""Corrections by hand: what there are, one more, the last one back."""

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from teewright.bench.amending import corrections_of
from teewright.network.corrections import Correction
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


@router.get("")
def corrections(known: WhatIsKnown) -> tuple[Correction, ...]:
    """All corrections, the oldest first."""
    return corrections_of(known.inputs)


@router.post("", status_code=201)
def correct(new: New, office: TheOffice, known: WhatIsKnown, who: WhoAsks) -> Correction:
    """Correct something; the files stay as they are and the correction beside them."""
    return correcting.correct(office, known, [new.what], who=who.name, why=new.why)[0]


@router.delete("/last")
def take_back(office: TheOffice) -> Correction | None:
    """Take the last correction back; null where there is none."""
    return correcting.take_back(office)
