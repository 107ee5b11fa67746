"""A process that calculates: takes one call after the other from its pipe, and sends back what came of each.

It runs at a lower priority than the web's threads, within a limit of memory, and ends with its parent.
"""

from __future__ import annotations

import os
import resource
import sys
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

from estimator.errors import EstimatorError
from estimator.tasks.parent import end_with_parent

STANDS_BACK = 3
MOST_MEMORY = 4_000_000_000
"""Bytes of address space of one calculation; at most 600 MB are used by 100,000 modules."""


def main() -> None:
    """Serve the pipe whose number is told until it closes."""
    end_with_parent()
    os.nice(STANDS_BACK)
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, hard))
    pipe: Connection = Connection(int(sys.argv[1]))
    while True:
        try:
            function, arguments = pipe.recv()
        except EOFError:
            return
        try:
            pipe.send(answer(function, arguments, lambda *progress: pipe.send(("progress", progress))))
        except BrokenPipeError:  # whoever asked was ended meanwhile
            return


def answer(function: Callable[..., Any], arguments: tuple[Any, ...], tell: Callable[..., None]) -> tuple[str, Any]:
    """What came of a call: what it made, or how it was refused."""
    try:
        return "made", function(*arguments, tell=tell)
    except EstimatorError as refusal:
        return "refused", refusal
    except MemoryError:
        return "too much", None
    except Exception as fault:  # an internal fault is sent as text: what it holds may not be sendable
        import traceback  # noqa: PLC0415  only where something is broken

        return "broken", "".join(traceback.format_exception(fault))


if __name__ == "__main__":
    main()
