"""What all pages share: the project, what is known of the job so far, and long work."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from teewright.assess.values import Assessment
from teewright.bench.amending import corrections_of
from teewright.bench.inputs import Inputs, Loaded
from teewright.bench.shelf import FarShelf
from teewright.bench.workbench import Workbench
from teewright.errors import InputError, TeewrightError
from teewright.job.values import Designs, Job
from teewright.programme.values import Programme
from teewright.web.desk import Desk
from teewright.web.settings import Settings
from teewright.web.tasks import Task, Tasks, Told
from teewright.web.wording import words_given
from teewright.web.workshop import Workshop

QUIET = 2.0
"""Nobody asks for anything of the project for so long before what computes is loaded [s]."""


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the job now; each is None until its step has been run on these inputs.

    Attributes:
        inputs: Documents of the project.
        loaded: Survey, site and kit, read.
        assessment: Needs.
        designs: Collars and their numbers.
        programme: Shifts.
        job: Everything; with it the log as it stands.
        problem: Why a step that should be there is not, one sentence; else empty.
        changed: Whether collars were designed, but for inputs that have changed since.
    """

    inputs: Inputs
    loaded: Loaded | None = None
    assessment: Assessment | None = None
    designs: Designs | None = None
    programme: Programme | None = None
    job: Job | None = None
    problem: str = ""
    changed: bool = False


class Office:
    """One project and its pages.

    Args:
        settings: How the pages are served.
    """

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.desk = Desk(settings.project)
        self.tasks = Tasks()
        self.workshop = Workshop(self.tasks)
        self._lock = threading.RLock()
        self._answers, self._closed = threading.Event(), threading.Event()
        self._bench: Workbench[FarShelf] | None = None
        self._seen = ""
        self._refusal = ""  # of these documents: they are not read again to say the same
        self._job_at: tuple[str, Job] | None = None
        self._given: tuple[Loaded | None, frozenset[str]] = None, frozenset()

    def warm(self) -> None:
        """Find what is known in a thread of its own, so that the first page need not wait.

        Once the server answers, and in a moment when nobody asks it for anything, what computes
        collars is loaded too: a tablet that sends its log must not wait for that.
        """
        threading.Thread(target=self._warmed, name="first look", daemon=True).start()

    def answers(self) -> None:
        """The server answers from now on."""
        self._answers.set()

    def _warmed(self) -> None:
        with suppress(TeewrightError, RuntimeError):  # the first page tells, or all is closed
            self.known()
            from teewright.web.render import prepare  # noqa: PLC0415 -- while the pages are loaded

            prepare()
            self._answers.wait()
            while not self._closed.wait(QUIET):
                if self.desk.rested >= QUIET:
                    from teewright.web.warming import load_solvers  # noqa: PLC0415 -- loads pages

                    load_solvers(self.known())
                    return

    def close(self) -> None:
        """Stop long work and close the project."""
        self._closed.set()
        self._answers.set()
        self.tasks.stop_all(wait=10.0)
        self.workshop.close()
        self.desk.close()

    def bench(self, tell: Told) -> Workbench[FarShelf]:
        """The steps of the job, begun anew: for a task in a thread of its own.

        Args:
            tell: Told in plain words what is being done.
        """
        today = datetime.now().astimezone().date()
        return Workbench(self.desk.shelf, progress=tell, today=today, quick=self.settings.quick)

    def known(self) -> Known:
        """What is known now; only what is quick to find is found here."""
        with self._lock:
            bench, head = self._current()
            known: dict[str, Any] = {"inputs": bench.documents}
            if not bench.documents.surveys or self._refusal:
                return Known(**known, problem=self._refusal)
            try:
                known["loaded"] = bench.loaded
                known["assessment"] = bench.assessment
                known["changed"] = bench.designs_are_of_before
                if bench.designs_are_kept:
                    known["designs"] = bench.designs
                    if bench.programme_is_kept:
                        known["programme"] = bench.programme
                        known["job"] = self._job(bench, head)
            except TeewrightError as error:
                if "assessment" not in known and isinstance(error, InputError):
                    self._refusal = str(error)
                return Known(**known, problem=str(error))
            return Known(**known)

    def words_given(self) -> frozenset[str]:
        """Texts of the user that look as if they told a quantity: pages leave them as they are."""
        known = self.known()
        if known.loaded is None:
            return frozenset()
        if self._given[0] is not known.loaded:
            inputs, loaded = known.inputs, known.loaded
            files = tuple(d.name for d in (*inputs.surveys, *inputs.beside))
            told = tuple((one.who, one.why) for one in corrections_of(inputs))
            self._given = loaded, words_given(loaded.kit, loaded.site, files, told)
        return self._given[1]

    def design(self) -> Task:
        """Begin to design all collars and to plan the shifts."""
        return self._begin("design", lambda bench: (bench.designs, bench.programme))

    def plan(self) -> Task:
        """Begin to plan the shifts anew."""
        return self._begin("plan", lambda bench: bench.programme)

    @contextmanager
    def at_bench(self) -> Iterator[Workbench[FarShelf]]:
        """The steps of the job as they are known now, for a short look."""
        with self._lock:
            yield self._current()[0]

    def look_again(self) -> None:
        """The user decided something else of the programme; all before it stays as it is."""
        with self._lock:
            self._job_at = None
            if self._bench is not None:
                self._bench.look_again()

    def forget(self) -> None:
        """Look at the project anew: its documents changed."""
        with self._lock:
            self._bench, self._job_at = None, None

    def _begin(self, name: str, step: Any) -> Task:
        def work(tell: Told) -> None:
            step(self.bench(tell))
            self.forget()

        return self.tasks.start(name, work)

    def _current(self) -> tuple[Workbench[FarShelf], str]:
        """The workbench of the documents as they are, and the end of the log.

        It is another one once the documents changed.
        """
        now, head = self.desk.ask(lambda p: (p.documents_state(), p.log_state().head))
        if self._bench is None or now != self._seen:
            self._bench, self._seen, self._job_at = self.bench(_silent), now, None
            self._refusal = ""
        return self._bench, head

    def _job(self, bench: Workbench[FarShelf], head: str) -> Job:
        """The job with its log; the log is read and verified anew once it has grown."""
        if self._job_at is None or self._job_at[0] != head:
            self._job_at = head, bench.job_now()
        return self._job_at[1]


def _silent(_: str) -> None:
    pass
