"""The last few results of long calculations, so that the same question asked again is answered at once."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, MutableMapping
from threading import Lock
from typing import Any

from cachetools import LRUCache


class LastResults(MutableMapping[Hashable, Any]):
    """So many results, the one that was not asked for longest goes first; requests may share it.

    A key holds everything its result depends on, so what is kept changes the time, never the answer.

    >>> kept = LastResults(2)
    >>> kept["a"], kept["b"], kept["c"] = 1, 2, 3
    >>> sorted(kept)
    ['b', 'c']
    """

    def __init__(self, most: int) -> None:
        self._results: LRUCache[Hashable, Any] = LRUCache(most)
        self._lock = Lock()

    def __getitem__(self, key: Hashable) -> Any:  # noqa: ANN401
        with self._lock:
            return self._results[key]

    def __setitem__(self, key: Hashable, result: Any) -> None:  # noqa: ANN401
        with self._lock:
            self._results[key] = result

    def __delitem__(self, key: Hashable) -> None:
        with self._lock:
            del self._results[key]

    def __iter__(self) -> Iterator[Hashable]:
        with self._lock:
            return iter(list(self._results))

    def __len__(self) -> int:
        with self._lock:
            return len(self._results)
