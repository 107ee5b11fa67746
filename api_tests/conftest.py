"""A running service for the session, with keys of every role and of a second organisation."""

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
import requests

from api_tests.all_calls import AllCalls as Client
from tests import warm
from tests.conftest import FOLDER_OF_SEARCHES

ESTIMATOR = Path(sys.executable).with_name("estimator")
BOOKS = Path(__file__).parents[1] / "pricebooks"
ROLES = ("crm", "estimator", "purchasing", "pricing", "admin")


class Service:
    """The service as a process of its own, on a port of its own.

    Unless ``from_nothing`` it is begun by the helper of the tests, which has imported everything. One that is
    ``searching`` makes every search itself, so that a test can be sure that a calculation takes long.
    """

    def __init__(self, folder, *, from_nothing=False, searching=False):
        self.folder, self.from_nothing = folder, from_nothing
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.base = f"http://127.0.0.1:{self.port}"
        self.environment = {
            **os.environ,
            "ESTIMATOR_DATA": str(folder),
            "ESTIMATOR_PRICEBOOKS": str(BOOKS),
            "ESTIMATOR_RATE_BURST": "100000",
            "ESTIMATOR_RATE_PER_SECOND": "100000",
            "ESTIMATOR_THREADS": "8",
            "ESTIMATOR_WEBHOOK_NETWORKS": "127.0.0.0/8",
            "ESTIMATOR_LOG_LEVEL": "warning",
        }
        if searching:
            self.environment.pop(FOLDER_OF_SEARCHES, None)

    def start(self):
        self.log = (self.folder / "log.txt").open("ab")
        self.printed = (self.folder / "printed.txt").open("w+b")
        words = ["serve", "--port", str(self.port)]
        if self.from_nothing:
            files = {"stdout": self.printed, "stderr": self.log}
            self.process = subprocess.Popen([ESTIMATOR, *words], env=self.environment, **files)
        else:
            self.process = warm.begin(words, self.environment, self.printed, self.log, checkout=False)
        for _ in range(1200):  # two minutes, for machines that are busy
            try:
                if requests.get(self.base + "/readyz", timeout=2).status_code == 200:
                    return self
            except requests.ConnectionError:
                time.sleep(0.1)
        raise RuntimeError((self.folder / "log.txt").read_text())

    def stop(self):
        """Gives what it printed."""
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(timeout=40)
        self.log.close()
        with self.printed:
            self.printed.seek(0)
            return self.printed.read().decode()

    def key(self, role, organisation="house", name=None):
        made = self.run("keys", "create", "--role", role, "--organisation", organisation, "--name", name or role)
        return made.removeprefix("key: ").strip()

    def run(self, *words):
        if not self.from_nothing:
            return warm.run(words, self.environment, checkout=False)
        done = subprocess.run([ESTIMATOR, *words], env=self.environment, capture_output=True, text=True, check=True)
        return done.stdout


@pytest.fixture(scope="session")
def service(tmp_path_factory):
    running = Service(tmp_path_factory.mktemp("service")).start()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def clients(service):
    """A client for each role, one of another organisation ("stranger"), and one without a key ("nobody")."""
    made = {role: Client(service.base, service.key(role)) for role in ROLES}
    made["stranger"] = Client(service.base, service.key("admin", organisation="another house"))
    made["nobody"] = Client(service.base)
    return made


@pytest.fixture(scope="session")
def crm(clients):
    return clients["crm"]


@pytest.fixture(scope="session")
def estimator(clients):
    return clients["estimator"]


@pytest.fixture(scope="session")
def purchasing(clients):
    return clients["purchasing"]


@pytest.fixture(scope="session")
def nobody(clients):
    return clients["nobody"]
