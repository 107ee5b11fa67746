"""Processes of the product that begin with everything imported: forked from one helper for each process of a test run.

A process of its own takes seconds of processor time to import what it works with, and a service is several of them.
Here a helper imports once and forks whatever is asked for: commands, services, and the processes in which these
calculate. What it runs is the same code with the same arguments and environment, and the searches of all helpers of a
run are kept in one place (``tests/searches.py``). That processes begin, end and are killed as they should be from
nothing is tried with the installed command in ``api_tests`` and in ``tests/cli``, ``tests/api`` and ``tests/tasks``.
"""

# ruff: noqa: PLC0415, F401  the helper imports what the tests that ask it do not need

import atexit
import json
import os
import select
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import traceback
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
LONGEST_ORDER = 200_000
CALCULATOR = "calculator"


class Begun:
    """A process that a helper forked, as far as tests look at it."""

    def __init__(self, pid):
        self.pid, self.returncode = pid, None
        try:
            self._handle = os.pidfd_open(pid)
        except ProcessLookupError:  # it was quick
            self._handle, self.returncode = None, 0

    def poll(self):
        """0 once it is gone, whatever it left with."""
        if self.returncode is None and select.select([self._handle], [], [], 0)[0]:
            self._gone()
        return self.returncode

    def wait(self, timeout=None):
        if self.returncode is None:
            if not select.select([self._handle], [], [], timeout)[0]:
                raise subprocess.TimeoutExpired(f"process {self.pid}", timeout)
            self._gone()
        return self.returncode

    def send_signal(self, number):
        if self.poll() is None:
            signal.pidfd_send_signal(self._handle, number)

    def kill(self):
        self.send_signal(signal.SIGKILL)

    def _gone(self):
        os.close(self._handle)
        self.returncode = 0


@cache
def _helper(checkout):
    """Where the helper listens; it imports from the checkout or, like the installed command, from where that does."""
    place = str(Path(tempfile.mkdtemp(prefix="warm")) / "orders")
    environment = {name: value for name, value in os.environ.items() if not name.startswith("ESTIMATOR_")}
    if checkout:
        environment["PYTHONPATH"] = str(ROOT)
    ours, theirs = socket.socketpair()
    with theirs:
        subprocess.Popen([sys.executable, "-P", __file__, place], env=environment, stdin=theirs)
    atexit.register(ours.close)
    assert ours.recv(5) == b"ready"
    return place, ours


def begin(words, environment, output, faults, *, checkout=True):
    """Begin ``estimator`` with these words; ``output`` and ``faults`` are open files that it writes to."""
    place, _ = _helper(checkout)
    return Begun(_order(place, words, environment, output.fileno(), faults.fileno()))


def run(words, environment, *, checkout=True):
    """What ``estimator`` with these words prints; an error unless it leaves with 0."""
    place, _ = _helper(checkout)
    with tempfile.TemporaryFile() as output, tempfile.TemporaryFile() as faults:
        receiving, told = os.pipe()
        try:
            _order(place, words, environment, output.fileno(), faults.fileno(), told)
        finally:
            os.close(told)
        with os.fdopen(receiving) as left:
            status = left.read()
        for file in (output, faults):
            file.seek(0)
        if status != "0":
            raise subprocess.CalledProcessError(int(status or -1), words, stderr=faults.read().decode())
        return output.read().decode()


def _order(place, words, environment, *files):
    """Ask the helper for a process; its id."""
    order = {"words": [str(each) for each in words], "environment": dict(environment), "folder": str(Path.cwd()),
             "from": os.getpid()}  # fmt: skip
    with socket.socket(socket.AF_UNIX, socket.SOCK_SEQPACKET) as asking:
        asking.connect(place)
        socket.send_fds(asking, [json.dumps(order).encode()], files)
        return int(asking.recv(20))


def _serve(place, control):
    """Fork what is asked for; gives the order in the process that has to carry it out, and None at the end."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for those that ended
    with socket.socket(socket.AF_UNIX, socket.SOCK_SEQPACKET) as listening:
        listening.bind(place)
        listening.listen(64)
        control.send(b"ready")
        while True:
            ready = select.select([listening, control], [], [])[0]
            if control in ready:
                Path(place).unlink()
                Path(place).parent.rmdir()
                return None
            asking, _ = listening.accept()
            with asking:
                told, files, *_ = socket.recv_fds(asking, LONGEST_ORDER, 4)
                if not told:
                    continue
                pid = os.fork()
                if pid == 0:
                    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
                    return json.loads(told), files
                asking.send(str(pid).encode())
                for each in files:
                    os.close(each)


def _take_over(order, files):
    """Become the process that was asked for."""
    with open(os.devnull) as nothing:  # noqa: PTH123
        os.dup2(nothing.fileno(), 0)
    for target, file in enumerate(files[:2], 1):
        os.dup2(file, target)
        os.close(file)
    os.environ.clear()
    os.environ.update(order["environment"])
    os.chdir(order["folder"])


def _calculate(number, parent):
    """As ``python -m estimator.tasks.calculator``, which ends with the process that asked for it."""
    from estimator.service import calculations
    from estimator.tasks import calculator
    from tests.searches import FOLDER, SEARCHES

    if FOLDER in os.environ:
        calculations.SEARCHES = SEARCHES

    def watch():
        select.select([os.pidfd_open(parent)], [], [])
        os.kill(os.getpid(), signal.SIGKILL)

    calculator.end_with_parent = lambda: threading.Thread(target=watch, daemon=True).start()
    sys.argv = [CALCULATOR, str(number)]
    calculator.main()


def _command(words, told):
    """As the installed command; tells the status it leaves with."""
    from estimator.cli import main

    sys.argv = ["estimator", *words]
    status = 1
    try:
        main(prog_name="estimator")
    except SystemExit as end:
        status = end.code if isinstance(end.code, int) else int(end.code is not None)
    except BaseException:
        traceback.print_exc()
    sys.stdout.flush()
    sys.stderr.flush()
    if told:
        os.write(told[0], str(status).encode())
    sys.exit(status)


def _prepare(place):
    """Import what commands, services and calculations work with, and let both kinds of process begin here as well."""
    import gc
    from multiprocessing import Pipe

    import granian

    import estimator.app
    import estimator.cli.hosting.serving
    from estimator.cli import main
    from estimator.service import calculations
    from estimator.service.people import accounts
    from estimator.tasks import calculator, pool
    from tests import searches

    def started():
        ours, theirs = Pipe()
        with theirs:
            return pool.Process(Begun(_order(place, [CALCULATOR], os.environ, 1, 2, theirs.fileno())), ours)

    pool.started = started
    gc.collect()
    gc.freeze()


def _main(place):
    sys.path.append(str(ROOT))
    control = socket.socket(fileno=os.dup(0))
    _prepare(place)
    came = _serve(place, control)
    control.close()
    if came is None:
        return
    order, files = came
    _take_over(order, files)
    if order["words"] == [CALCULATOR]:
        _calculate(files[2], order["from"])
    else:
        _command(order["words"], files[2:])


if __name__ == "__main__":
    _main(sys.argv[1])
