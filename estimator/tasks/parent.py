"""A process and the one that started it: it ends when that is gone, and is told when that begins to end.

The main process of a server hears of its end first, and its server processes answer what is under way. What cannot be
answered in time is then better handed over than cut off, so they have to know: the main process leaves a mark, a file
whose place its processes know from their environment.
"""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
import threading
import time
from pathlib import Path

SEEN_EVERY_SECONDS = 0.5
MARK = "SERVER_ENDS_BY_FILE"
HANDED_OVER_SECONDS = 12.0
"""After so long (s) of a server's end what still calculates is handed over; it has 30 s in all."""
_ENDS_AT: list[float] = []


def end_with_parent() -> None:
    """Watch the parent from a thread of its own."""
    parent, mark = os.getppid(), os.environ.get(MARK)

    def watch() -> None:
        while os.getppid() == parent:
            if mark and not _ENDS_AT and Path(mark).exists():
                server_ends()
            time.sleep(SEEN_EVERY_SECONDS)
        os.kill(os.getpid(), signal.SIGKILL)

    threading.Thread(target=watch, name="parent", daemon=True).start()


def prepare_mark() -> Path:
    """A place for the mark, told to the processes that are started from now on."""
    place = Path(tempfile.mkdtemp(prefix="estimator-ends-")) / "ends"
    os.environ[MARK] = str(place)
    return place


def remove_mark(place: Path) -> None:
    """When every process has ended."""
    shutil.rmtree(place.parent, ignore_errors=True)


def server_ends(after_seconds: float = HANDED_OVER_SECONDS) -> None:
    """The server of this process has begun to end."""
    _ENDS_AT[:] = [time.monotonic() + after_seconds]


def hands_over() -> bool:
    """Whether what is still calculated for somebody who waits is to be handed over now."""
    return bool(_ENDS_AT) and time.monotonic() >= _ENDS_AT[0]


def goes_on() -> None:
    """As if nothing had ended: for tests."""
    _ENDS_AT.clear()
