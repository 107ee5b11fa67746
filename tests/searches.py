"""Searches for cut plans that tests make in passing, kept for all processes of a run so that none is made twice.

A search is kept with everything its result depends on, so what is kept changes the time and never a plan; the tests of
the search itself keep nothing. Most documents and states of a quote are of the same few jobs.
"""

import os
import pickle
import re
from collections.abc import Hashable, Iterator, MutableMapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from estimator.comparison import Offer
from estimator.comparison import offer as made_anew

FOLDER = "FOLDER_OF_SEARCHES"
"""The variable that names the folder of a run; without one a process keeps its searches to itself."""
_PLACE_IN_MEMORY = re.compile(r" at 0x[0-9a-f]+>")


class KeptSearches(MutableMapping[Hashable, Any]):
    """Searches of this process and, on disk, those of the others; files are named by what was asked, and hold it."""

    def __init__(self, folder: str | None) -> None:
        self._here: dict[Hashable, Any] = {}
        self._folder = Path(folder) if folder else None

    def __getitem__(self, key: Hashable) -> Any:
        if key not in self._here:
            self._here[key] = self._from_others(key)
        return self._here[key]

    def __setitem__(self, key: Hashable, result: Any) -> None:
        self._here[key] = result
        if self._folder:
            made = self._folder / f"{os.getpid()}.{len(self._here)}"
            made.write_bytes(pickle.dumps((key, result)))
            made.replace(self._file(key))

    def __delitem__(self, key: Hashable) -> None:
        del self._here[key]

    def __iter__(self) -> Iterator[Hashable]:
        return iter(self._here)

    def __len__(self) -> int:
        return len(self._here)

    def _from_others(self, key: Hashable) -> Any:
        try:
            asked, result = pickle.loads(self._file(key).read_bytes()) if self._folder else (None, None)
        except FileNotFoundError:
            asked = None
        if asked != key:
            raise KeyError(key)
        return result

    def _file(self, key: Hashable) -> Path:
        return (self._folder or Path()) / sha256(_PLACE_IN_MEMORY.sub(">", repr(key)).encode()).hexdigest()


SEARCHES = KeptSearches(os.environ.get(FOLDER))


def offer(job: Any, book: Any, choices: Any, on: Any, _memory: Any = None, *more: Any, **named: Any) -> Offer:
    """The offer for a job, its searches kept for the next test that asks for them."""
    return made_anew(job, book, choices, on, SEARCHES, *more, **named)
