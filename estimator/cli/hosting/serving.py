"""``estimator serve``: the REST service, on the embedded database unless told otherwise."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.terminal.refusing import refusals
from estimator.sentences import joined, say

if TYPE_CHECKING:
    from estimator.settings import Settings

DEMO_FOLDER = Path("estimator-demo") / "service"
AT_HOME = frozenset({"127.0.0.1", "localhost", "::1"})

GRACE_SECONDS = 30
MOST_CONNECTIONS = 4_096
"""Requests one process takes up at a time; most of them wait for their bodies or for a worker thread."""


@click.command()
@click.option("--host", help="address to listen on")
@click.option("--port", type=click.IntRange(0, 65_535), help="port to listen on")
@click.option("--data", type=click.Path(path_type=Path), help="folder of the embedded database")
@click.option("--pricebooks", type=click.Path(path_type=Path), multiple=True, help="folder of pricebooks")
@click.option("--demo", is_flag=True, help="with invented people, jobs and quotes, on this machine only")
@click.option("--secrets-key-lost", is_flag=True, help="the key of the secrets is gone: webhooks need new secrets")
def serve(
    host: str | None,
    port: int | None,
    data: Path | None,
    pricebooks: tuple[Path, ...],
    demo: bool,
    secrets_key_lost: bool,
) -> None:
    """Serve API and pages; the first start on a new database prints an admin key once."""
    from estimator.settings import from_environment

    if demo:
        data = data or DEMO_FOLDER
    told = {
        "ESTIMATOR_HOST": host,
        "ESTIMATOR_PORT": None if port is None else str(port),
        "ESTIMATOR_DATA": None if data is None else str(data),
        "ESTIMATOR_PRICEBOOKS": os.pathsep.join(map(str, pricebooks)) or None,
    }
    os.environ.update({name: value for name, value in told.items() if value is not None})
    with refusals():
        settings = from_environment()
        share_metrics(settings)
        key = _opened(settings, secrets_key_lost=secrets_key_lost, first=not demo)
        if demo:
            _furnish(settings)
    if key is not None:
        click.echo(f"key: {key}")
        click.echo("This admin key is shown only now. Make others with: estimator keys create", err=True)
    click.echo(f"Serving on http://{settings.host}:{settings.port}/docs", err=True)
    _run(settings)


def share_metrics(settings: Settings) -> None:
    """Several processes keep their numbers in files of one folder, empty at the start, so that /metrics tells the sum.

    The folder has to be named before ``prometheus_client`` is read.
    """
    if settings.workers < 2 or "PROMETHEUS_MULTIPROC_DIR" in os.environ:
        return
    folder = Path(tempfile.mkdtemp(prefix="estimator-metrics-"))
    os.environ["PROMETHEUS_MULTIPROC_DIR"] = str(folder)
    atexit.register(shutil.rmtree, folder, ignore_errors=True)


def _opened(settings: Settings, *, secrets_key_lost: bool, first: bool) -> str | None:
    """See that the database's key is here; the admin key of a new database where a first one is wanted."""
    from estimator.opening import open_house
    from estimator.service.access.keys import first_key
    from estimator.service.outbox.sealed_secrets import check_key

    context = open_house(settings)
    check_key(context, lost=secrets_key_lost)
    key = first_key(context) if first else None
    context.engine.dispose()
    return key


def _furnish(settings: Settings) -> None:
    """Set up the demonstration organisation, and print who may sign in."""
    from estimator.app import open_context
    from estimator.cli.hosting.demo_house import PASSWORD, PEOPLE, furnish
    from estimator.errors import Fault, Refused

    if settings.host not in AT_HOME:
        open_to = say("{host} can be reached from elsewhere", host=settings.host)
        raise Refused(
            joined("; ", (say("the demonstration's passwords are known to everybody"), open_to)),
            [Fault("--host", open_to, ", ".join(sorted(AT_HOME)))],
        )
    context = open_context(settings)
    furnish(context, lambda words: click.echo(words, err=True))
    context.engine.dispose()
    click.echo(f"Sign in on http://{settings.host}:{settings.port}/sign-in with the password {PASSWORD!r} as:")
    for login, name, role, language, _ in PEOPLE:
        click.echo(f"  {login}  ({name}, {role}, {language})")


def _run(settings: Settings) -> None:
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    from estimator.tasks.parent import prepare_mark, remove_mark

    mark = prepare_mark()

    class Server(Granian):  # type: ignore[misc, valid-type]
        """Leaves the mark before its processes are told to end."""

        def shutdown(self, exit_code: int = 0) -> None:
            mark.touch()
            super().shutdown(exit_code)

    atexit.register(remove_mark, mark)
    Server(
        "estimator.app:from_settings",
        address=settings.host,
        port=settings.port,
        interface=Interfaces.ASGI,
        workers=settings.workers,
        backpressure=MOST_CONNECTIONS,
        factory=True,
        websockets=False,
        log_level=LogLevels.warning,
        workers_kill_timeout=GRACE_SECONDS,
        respawn_failed_workers=True,
        respawn_interval=0.5,
    ).serve()
