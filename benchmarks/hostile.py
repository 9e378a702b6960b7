"""Seconds until a hostile file is refused: `python benchmarks/hostile.py [--json]`.

The files of the test of the same name, each given to the server once; the largest have 10 MB.
"""

import argparse
import json
import sys
import tempfile
import time
from pathlib import Path

from fastapi.testclient import TestClient

from teewright.web.app import make_app
from teewright.web.settings import Settings

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from faces.web.test_hostile import REFUSED

SOON = 10.0
"""Longest that any of them may take on a busy machine [s]."""


def seconds(folder: Path) -> dict[str, float]:
    """How long each takes, by its name [s]."""
    found = {}
    app = make_app(Settings(folder / "job.tee"))
    with TestClient(app, base_url="http://localhost") as client:
        for name, data in REFUSED.items():
            start = time.perf_counter()
            answer = client.post("/api/v1/documents", files=[("files", (name, data))])
            found[name] = time.perf_counter() - start
            assert answer.status_code == 422, name
    return found


def main() -> None:
    """Print the table; the exit code is 1 where one took too long."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        found = seconds(Path(made))
    if asked.json:
        print(json.dumps(found))
    else:
        for name, took in found.items():
            print(f"| {name} | {took:.2f} |")
    sys.exit(any(took > SOON for took in found.values()))


if __name__ == "__main__":
    main()
