"""What pages say once a job was changed under designed collars and work that is done."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright import demo
from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.texts import text

PAGES = ("/", "/collars", "/day", "/programme", "/proof", "/handover", "/price", "/survey")


def test_every_page_says_that_the_job_was_changed_until_the_change_is_taken_back(
    begun_project: Path,
) -> None:
    with TestClient(
        make_app(Settings(begun_project, quick=True)), base_url="http://localhost"
    ) as c:
        c.headers["X-CSRF-Token"] = c.get("/api/v1/me").json()["csrf"]
        assert all(text("common.changed") not in c.get(page).text for page in PAGES)
        kit = ("kit.toml", demo.file(demo.KIT_FILE) + b"\n# other\n")
        assert c.post("/api/v1/documents", files={"files": kit}).status_code == 201
        for page in PAGES:
            assert text("common.changed") in c.get(page).text, page
        assert text("job.open.changed") in c.get("/").text
        assert c.post("/api/v1/documents/kit/kit.toml/undo").is_success
        assert all(text("common.changed") not in c.get(page).text for page in PAGES)
        assert "7 begun" in c.get("/").text


@pytest.mark.parametrize("page", ["/", "/survey"])
def test_a_job_that_was_never_designed_is_not_called_changed(tmp_path: Path, page: str) -> None:
    app = make_app(Settings(tmp_path / "new.tee"))
    with TestClient(app, base_url="http://localhost") as c:
        c.headers["X-CSRF-Token"] = c.get("/api/v1/me").json()["csrf"]
        survey = ("runs.csv", demo.file("runs.csv"))
        assert c.post("/api/v1/documents", files={"files": survey}).status_code == 201
        assert text("common.changed") not in c.get(page).text
