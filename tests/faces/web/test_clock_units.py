"""Sentences at the clock and on the other pages are told in the same units, by the same figures."""

import pytest
from playwright.sync_api import Browser

from faces.web.conftest import OpenPage
from faces.web.test_every_page import opened
from teewright.web.quantities import System
from teewright.web.wording import in_units

SAID = """async (sentence) => {
  const units = await import("/static/clock/units.mjs");
  units.chooseUnits("us");
  return units.inUnits(sentence);
}"""
SENTENCES = {
    "an end thrust of 12.3 kN: stand aside": "an end thrust of 2765 lbf: stand aside",
    "5.8 kJ stored at 1.05 bar": "4278 ft·lbf stored at 15.2 psi",
    "the packer weighs 24 kg": "the packer weighs 53 lb",
}


@pytest.fixture
def said(read_server: str, browser: Browser, open_page: OpenPage) -> dict[str, str]:
    page = opened(browser, open_page, read_server, "/clock", 1440, "units=us")
    return {one: page.evaluate(SAID, one).replace("\u00a0", " ") for one in SENTENCES}


def test_forces_energies_and_pressures_are_told_alike(said: dict[str, str]) -> None:
    assert said == SENTENCES
    for sentence in SENTENCES:
        assert in_units(sentence, System.US).replace("\u00a0", " ") == said[sentence]
