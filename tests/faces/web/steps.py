"""The steps of the guide's part on the browser, read from docs/guide_steps.toml."""

import re
import textwrap
import tomllib
from dataclasses import dataclass
from pathlib import Path

from teewright.web.texts import text

LIST = Path(__file__).parents[3] / "docs" / "guide_steps.toml"
KEY = re.compile(r"\{([a-z_]+\.[a-z0-9_.\-]+)\}")


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the whole job.

    Attributes:
        name: One word, and the function of the test that does it.
        title: Heading.
        does: What the reader does, with texts of the pages as `{room.key}`.
        picture: Name of its picture.
    """

    name: str
    title: str
    does: str
    picture: str

    @property
    def pressed(self) -> frozenset[str]:
        """Keys of the texts that are pressed in it."""
        return frozenset(KEY.findall(self.does))

    @property
    def words(self) -> str:
        """What the reader does, with the words as they stand on the pages."""
        said = KEY.sub(lambda found: f"**{text(found[1])}**", " ".join(self.does.split()))
        return textwrap.fill(said, 100, break_on_hyphens=False)


def steps() -> tuple[Step, ...]:
    """All steps in their order."""
    return tuple(Step(**one) for one in tomllib.loads(LIST.read_text(encoding="utf-8"))["steps"])
