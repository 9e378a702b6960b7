"""What computes collars is loaded once the server answers, and neither before nor after its end."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from teewright import demo
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep

PROBE = """
import json, sys, threading
from pathlib import Path
from teewright.web import office as room
from teewright.web.app import make_app
from teewright.web.settings import Settings

room.QUIET = {quiet}
office = room.Office(Settings(Path({project!r})))
office.warm()
look = next(one for one in threading.enumerate() if one.name == "first look")
make_app(Settings(Path({project!r})), office)
look.join(1.0)
told = [look.is_alive(), "scipy" in sys.modules]
{then}
look.join(60.0)
told += [look.is_alive(), "scipy" in sys.modules, "teewright.job.designing" in sys.modules]
office.close()
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("warm") / "job.tee"
    surveys = tuple(Document(name, demo.file(name)) for name in demo.SURVEY_FILES)
    keep(path, Inputs(surveys, None, None, Options()))
    return path


BUSY = """
rested = type(office.desk).rested
type(office.desk).rested = property(lambda _: 0.0)
office.answers()
look.join(1.0)
told += [look.is_alive(), "scipy" in sys.modules]
type(office.desk).rested = rested
"""


def told(project: Path, then: str, quiet: float) -> list[bool]:
    code = PROBE.format(project=str(project), then=then, quiet=quiet)
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    found: list[bool] = json.loads(run.stdout)
    return found


def test_what_computes_is_loaded_once_the_server_answers(project: Path) -> None:
    assert told(project, "office.answers()", 0.0) == [True, False, False, True, True]


def test_a_server_that_ends_loads_nothing_more(project: Path) -> None:
    assert told(project, "office.answers(); office.close()", 600.0)[:4] == [
        True, False, False, False,
    ]  # fmt: skip


def test_it_is_loaded_while_nobody_asks_for_anything(project: Path) -> None:
    assert told(project, BUSY, 0.05) == [True, False, True, False, False, True, True]
