"""Corrections as a project keeps them."""

import pytest

from teewright.errors import FileFormatError
from teewright.formats.corrections_json import read, write
from teewright.network.corrections import (
    Correction,
    Decide,
    Field,
    Join,
    Mark,
    SetField,
    SetRun,
    Split,
)

A = Mark("a.txt", 12, "S1-S2", 10.25, 3.0)
B = Mark("b.csv", None, "S1-S2", 10.75, None)
EVERY = (
    Correction(SetField(A, Field.DIAMETER, 0.125), "ab", "2027-05-06T07:08:09+02:00", "measured"),
    Correction(SetField(A, Field.STATE, "open"), "ab", "2027-05-06T07:08:09+02:00"),
    Correction(SetField(A, Field.CLOCK, 9.0), "ab", "2027-05-06T07:08:09+02:00"),
    Correction(SetRun("S1-S2", "lined", value=True), "ab", "2027-05-06T07:08:09+02:00"),
    Correction(SetRun("S1-S2", "diameter", 0.3), "ab", "2027-05-06T07:08:09+02:00"),
    Correction(Join(A, B), "ab", "2027-05-06T07:08:09+02:00"),
    Correction(Split(B), "ab", "2027-05-06T07:08:09+02:00", "<script>“ä”"),
    Correction(Decide(A, "make ready first", ("descale",)), "ab", "2027-05-06T07:08:09+02:00"),
)


def test_every_kind_comes_back_as_it_was() -> None:
    assert read(write(EVERY)) == EVERY
    assert [type(one.what) for one in read(write(EVERY))] == [type(one.what) for one in EVERY]


def test_the_same_corrections_give_the_same_bytes() -> None:
    assert write(read(write(EVERY))) == write(EVERY)
    assert write(()) == write([])


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b'{"corrections": [{"what": 1}]}', b"\xff\xfe"])
def test_anything_else_is_refused(data: bytes) -> None:
    with pytest.raises(FileFormatError):
        read(data)
