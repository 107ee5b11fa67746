"""A process ends when the one that started it is gone: nobody else would ever end it."""

from __future__ import annotations

import os
import signal
import threading
import time

SEEN_EVERY_SECONDS = 0.5


def end_with_parent() -> None:
    """Watch the parent from a thread of its own."""
    parent = os.getppid()

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(SEEN_EVERY_SECONDS)
        os.kill(os.getpid(), signal.SIGKILL)

    threading.Thread(target=watch, name="parent", daemon=True).start()
