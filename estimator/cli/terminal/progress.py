"""Progress on standard error of whatever takes longer than two seconds; nothing where that is no terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable
from decimal import Decimal
from threading import Timer
from time import monotonic
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console
    from rich.progress import Progress as Bars
    from rich.progress import TaskID

    from estimator.cutting.records import Standing

PATIENCE_SECONDS = 2.0
ENDLESS = 1 << 30
"""A limit of work above this does not bind: the time does."""
REFRESH_SECONDS = 0.1


class Progress:
    """A line with a bar: the step, and of a search its work, its best cost and the gap to what is proven."""

    def __init__(self, console: Console | None = None, patience: float = PATIENCE_SECONDS) -> None:
        self._console = console
        self._patience = patience
        self._line: tuple[Bars, TaskID] | None = None
        self._timer: Timer | None = None
        self._shown_at = 0.0

    def __enter__(self) -> Progress:
        """Start the clock; where nobody is watching, nothing is loaded."""
        if self._console is not None or sys.stderr.isatty():
            self._line = _line(self._console)
            self._timer = Timer(self._patience, self._line[0].start)
            self._timer.daemon = True
            self._timer.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Remove the line."""
        if self._timer is not None and self._line is not None:
            self._timer.cancel()
            self._timer.join()
            self._line[0].stop()

    def step(self, name: str) -> None:
        """Another step has begun."""
        self._tell(description=name, standing="", completed=0, total=None)

    def _tell(self, *, standing: str, completed: float, total: float | None, description: str | None = None) -> None:
        if self._line is not None:
            bars, line = self._line
            bars.update(line, description=description, standing=standing, completed=completed)
            bars.tasks[0].total = total

    def of_search(self, places: int, seconds: float | None = None) -> Callable[[Standing], None]:
        """What a search reports its progress to; ``places``: decimals of its money; ``seconds``: its limit."""
        begun: list[float] = []

        def watch(standing: Standing) -> None:
            now = monotonic()
            if standing.way is None and not begun:
                begun.append(now)
            if now - self._shown_at >= REFRESH_SECONDS:
                self._shown_at = now
                done, most = _share(standing) if seconds is None or not begun else (now - begun[0], seconds)
                self._tell(standing=standing_line(standing, places), completed=done, total=most)

        return watch


def _share(standing: Standing) -> tuple[float, float | None]:
    """How much is done of how much: mountings while they are compared, else the search's work."""
    if standing.way is not None:
        return standing.way[0] - 1, standing.way[1]
    return standing.work, standing.most if standing.most < ENDLESS else None


def _line(console: Console | None) -> tuple[Bars, TaskID]:
    from rich.console import Console as StandardConsole
    from rich.progress import BarColumn, SpinnerColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bars

    bars = Bars(
        SpinnerColumn(),
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=20),
        TextColumn("{task.fields[standing]}", markup=False),
        TimeElapsedColumn(),
        console=console or StandardConsole(stderr=True),
        transient=True,
        disable=console is not None and not console.is_terminal,
    )
    return bars, bars.add_task("", total=None, standing="")


def standing_line(standing: Standing, places: int) -> str:
    """How a search stands, in words.

    >>> from estimator.cutting.records import Standing
    >>> standing_line(Standing(120, 8000, 30_100, 30_000), 2)
    'work 120, best 301.00, gap 0.33 %'
    >>> standing_line(Standing(0, 0, None, None, (3, 20)), 2)
    'mounting 3 of 20'
    """
    words = [f"mounting {standing.way[0]} of {standing.way[1]}"] if standing.way else []
    if standing.work or not words:
        words.append(f"work {standing.work:,}")
    if standing.cost is not None:
        words.append(f"best {Decimal(standing.cost).scaleb(-places)}")
        if standing.bound is not None and standing.cost > 0:
            words.append(f"gap {100 * max(0, standing.cost - standing.bound) / standing.cost:.2f} %")
    return ", ".join(words)
