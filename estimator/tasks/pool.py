"""A bounded pool of processes for calculations, so that the web's threads stay quick while several estimates run.

A call waits its turn; one that waits too long, or finds too many before it, is refused so that it can be made an
operation. A process whose caller has gone is ended, and another takes its place; so is one that dies.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from threading import Condition
from typing import Any

from estimator.contract.problems.refusals import PoolFull, TooMuchWork
from estimator.errors import Fault
from estimator.sentences import Sentence, figure, say
from estimator.tasks.hang_up import GONE, NobodyWaits
from estimator.tasks.parent import hands_over

LOOKED_EVERY_SECONDS = 0.1
TRIES = 2
"""A process may be ended by others once without the caller noticing."""


class CalculationBroken(Exception):
    """An internal fault in a calculation, with its trace as text."""


@dataclass(frozen=True, slots=True)
class PoolLimits:
    """So many processes; so many calls may wait, and so long (s); so long may one take (s)."""

    processes: int = 2
    waiting: int = 32
    wait_seconds: float = 10.0
    most_seconds: float = 300.0


@dataclass(slots=True)
class Process:
    """One process and its pipe."""

    running: subprocess.Popen[bytes]
    pipe: Connection

    def end(self) -> None:
        """End the process at once."""
        self.running.kill()
        self.pipe.close()
        self.running.wait()


def started() -> Process:
    """A process that begins from nothing."""
    ours, theirs = Pipe()
    command = [sys.executable, "-m", "estimator.tasks.calculator", str(theirs.fileno())]
    with theirs:
        running = subprocess.Popen(command, pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL)  # noqa: S603
        return Process(running, ours)


@dataclass(slots=True)
class Pool:
    """The processes, started when they are first needed, and who waits for one."""

    limits: PoolLimits = field(default_factory=PoolLimits)
    _free: list[Process] = field(default_factory=list)
    _taken: int = 0
    _waiting: deque[object] = field(default_factory=deque)
    _changed: Condition = field(default_factory=Condition)

    def call(
        self,
        function: Callable[..., Any],
        *arguments: Any,
        tell: Callable[..., None] | None = None,
        patient: bool = False,
    ) -> Any:
        """What the function gives, run in one of the processes; ``tell`` is told its progress.

        ``patient`` calls wait as long as it takes and may take as long as they need: operations, which nobody awaits.
        Errors: PoolFull, TooMuchWork, NobodyWaits; what the function refuses.
        """
        for attempt in range(TRIES):
            process = self._take(patient=patient)
            try:
                kind, came = self._run(process, (function, arguments), tell, patient=patient)
            except (EOFError, OSError) as died:
                self._lose(process)
                if attempt + 1 == TRIES:
                    raise CalculationBroken("the process that calculated was ended") from died
                continue
            except BaseException:
                self._lose(process)
                raise
            self._give_back(process)
            return _judged(kind, came)
        raise AssertionError("unreachable")

    def close(self) -> None:
        """End the processes that are free; those that calculate end with this one."""
        with self._changed:
            for process in self._free:
                process.end()
            self._free.clear()

    def _take(self, *, patient: bool) -> Process:
        mark, gone = object(), GONE.get()
        until = time.monotonic() + self.limits.wait_seconds
        with self._changed:
            if not patient and len(self._waiting) >= self.limits.waiting:
                raise PoolFull(say("more calculations wait than may"))
            self._waiting.append(mark)
            try:
                while self._waiting[0] is not mark or self._taken >= self.limits.processes:
                    self._changed.wait(LOOKED_EVERY_SECONDS)
                    if gone():
                        raise NobodyWaits
                    if not patient and time.monotonic() > until:
                        raise PoolFull(
                            say(
                                "no process was free for {wait_seconds} s",
                                wait_seconds=figure(self.limits.wait_seconds, "g"),
                            )
                        )
                    if not patient and hands_over():
                        raise PoolFull(say("this server ends before the calculation would"))
                self._taken += 1
            finally:
                self._waiting.remove(mark)
                self._changed.notify_all()
            free = self._free.pop() if self._free else None
        return free or self._begun()

    def _begun(self) -> Process:
        try:
            return started()
        except BaseException:
            self._freed()
            raise

    def _run(
        self, process: Process, call: tuple[Callable[..., Any], tuple[Any, ...]], tell: Any, *, patient: bool
    ) -> tuple[str, Any]:
        process.pipe.send(call)
        gone, until = GONE.get(), time.monotonic() + self.limits.most_seconds
        while True:
            if process.pipe.poll(LOOKED_EVERY_SECONDS):
                kind, came = process.pipe.recv()
                if kind != "progress":
                    return kind, came
                if tell is not None:
                    tell(*came)
            if gone():
                raise NobodyWaits
            if not patient and hands_over():
                raise PoolFull(say("this server ends before the calculation would"))
            if not patient and time.monotonic() > until:
                raise _too_much(
                    say(
                        "the calculation took more than {most_seconds} s",
                        most_seconds=figure(self.limits.most_seconds, "g"),
                    )
                )

    def _give_back(self, process: Process) -> None:
        with self._changed:
            self._free.append(process)
        self._freed()

    def _lose(self, process: Process) -> None:
        process.end()
        self._freed()

    def _freed(self) -> None:
        with self._changed:
            self._taken -= 1
            self._changed.notify_all()


def default_processes() -> int:
    """One for each core, and two at least, so that a long one leaves room for another."""
    return max(2, os.cpu_count() or 1)


def _judged(kind: str, came: Any) -> Any:
    if kind == "made":
        return came
    if kind == "refused":
        raise came
    if kind == "too much":
        raise _too_much(say("the calculation took more memory than one may"))
    raise CalculationBroken(came)


def _too_much(text: Sentence) -> TooMuchWork:
    return TooMuchWork(
        text, [Fault("", text, say("a smaller job: fewer modules, or mountings given instead of left open"))]
    )
