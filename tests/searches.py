"""Cut plans that tests make in passing, kept for all processes of a run so that none is searched twice.

A plan is kept with everything it depends on, so what is kept changes the time and never a plan; the tests of the search
itself keep nothing. Most documents and states of a quote are of the same few jobs. Importing this makes estimates look
here for their plans if they are asked to keep their searches in ``SEARCHES``, and only then.
"""

import os
import pickle
import re
from collections.abc import Hashable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from estimator import estimate as estimating
from estimator.comparison import Offer
from estimator.comparison import offer as made_anew
from estimator.cutting import plan_cuts
from estimator.cutting.records import CutPlan, Effort, never, unwatched

FOLDER = "FOLDER_OF_SEARCHES"
"""The variable that names the folder of a run; without one a process keeps its plans to itself."""
_PLACE_IN_MEMORY = re.compile(r" at 0x[0-9a-f]+>")


class KeptSearches(dict[Hashable, Any]):
    """Searches of this process, and whole plans, also those of other processes: files named by what was asked."""

    def __init__(self, folder: str | None) -> None:
        super().__init__()
        self._folder = Path(folder) if folder else None
        self._plans: dict[str, tuple[Any, CutPlan]] = {}

    def plan(self, *asked: Any) -> CutPlan:
        """The plan of what was asked, searched where nobody has done so yet."""
        alone = [replace(each, memory=None, watch=unwatched) if isinstance(each, Effort) else each for each in asked]
        name = sha256(_PLACE_IN_MEMORY.sub(">", repr(alone)).encode()).hexdigest()
        if name not in self._plans and self._folder and (self._folder / name).exists():
            self._plans[name] = pickle.loads((self._folder / name).read_bytes())
        if name not in self._plans or self._plans[name][0] != alone:
            self._plans[name] = alone, plan_cuts(*asked)
            if self._folder:
                made = self._folder / f"{name}.{os.getpid()}"
                made.write_bytes(pickle.dumps(self._plans[name]))
                made.replace(self._folder / name)
        return self._plans[name][1]


def _kept_plan(*asked: Any) -> CutPlan:
    effort = next(each for each in asked if isinstance(each, Effort))
    keeps = isinstance(effort.memory, KeptSearches) and effort.should_stop is never
    return effort.memory.plan(*asked) if keeps else plan_cuts(*asked)


estimating.plan_cuts = _kept_plan
SEARCHES = KeptSearches(os.environ.get(FOLDER))


def offer(job: Any, book: Any, choices: Any, on: Any, _memory: Any = None, *more: Any, **named: Any) -> Offer:
    """The offer for a job, its searches kept for the next test that asks for them."""
    return made_anew(job, book, choices, on, SEARCHES, *more, **named)
