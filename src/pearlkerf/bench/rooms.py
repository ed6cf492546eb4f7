"""The rooms behind the bench's addresses, each opened when it is first asked for: the first page waits for none."""

import gc
import threading
from typing import TYPE_CHECKING

from pearlkerf.bench.shelf import Shelf

if TYPE_CHECKING:
    from pearlkerf.bench.answers import Answers
    from pearlkerf.bench.cut_away import CutAway
    from pearlkerf.bench.fits import Fits
    from pearlkerf.bench.inlays import Inlays
    from pearlkerf.bench.jobs import Jobs
    from pearlkerf.bench.photographs import Photographs
    from pearlkerf.bench.shell import Shell


class Rooms:
    """Boards, jobs, fits and shell of one folder."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._jobs: Jobs | None = None
        self._shell: Shell | None = None
        self._lock = threading.Lock()
        self._opened = False

    @property
    def answers(self) -> "Answers":
        """Give what answers about boards."""
        from pearlkerf.bench.answers import Answers

        return Answers(self._shelf)

    @property
    def fits(self) -> "Fits":
        """Give what answers about fits."""
        from pearlkerf.bench.fits import Fits

        return Fits(self._shelf)

    @property
    def inlays(self) -> "Inlays":
        """Give what lets inlays in."""
        from pearlkerf.bench.inlays import Inlays

        return Inlays(self._shelf)

    @property
    def jobs(self) -> "Jobs":
        """Give the orders, of which there is one book."""
        with self._lock:
            if self._jobs is None:
                from pearlkerf.bench.jobs import Jobs

                self._jobs = Jobs(self._shelf)
            return self._jobs

    @property
    def shell(self) -> "Shell":
        """Give what answers about blanks and pieces on them, of which there is one."""
        with self._lock:
            if self._shell is None:
                from pearlkerf.bench.shell import Shell

                self._shell = Shell(self._shelf)
            return self._shell

    @property
    def photographs(self) -> "Photographs":
        """Give what keeps photographs of blanks."""
        from pearlkerf.bench.photographs import Photographs

        return Photographs(self._shelf)

    @property
    def cut_away(self) -> "CutAway":
        """Give what says which places of blanks are gone."""
        from pearlkerf.bench.cut_away import CutAway

        return CutAway(self._shelf, self.shell)

    def open(self) -> None:
        """Open what the first board needs, while its maker looks at the first page."""
        import pearlkerf.bench.answers
        import pearlkerf.bench.view  # noqa: F401 - opened for who asks next

        with self._lock:
            if self._opened:
                return
            self._opened = True
        # what is opened now stays to the end: looking through it for what has gone would hold up a stroke for 50 ms
        gc.collect()
        gc.freeze()

    def end(self) -> None:
        """Stop whatever is under way."""
        with self._lock:
            jobs = self._jobs
        if jobs is not None:
            jobs.end()
