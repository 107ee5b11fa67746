"""``estimator serve``: the REST service, on the embedded database unless told otherwise."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.refusing import refusals

if TYPE_CHECKING:
    from estimator.settings import Settings

GRACE_SECONDS = 30
MOST_CONNECTIONS = 4_096
"""Requests one process takes up at a time; most of them wait for their bodies or for a worker thread."""


@click.command()
@click.option("--host", help="address to listen on")
@click.option("--port", type=click.IntRange(0, 65_535), help="port to listen on")
@click.option("--data", type=click.Path(path_type=Path), help="folder of the embedded database")
@click.option("--pricebooks", type=click.Path(path_type=Path), multiple=True, help="folder of pricebooks")
def serve(host: str | None, port: int | None, data: Path | None, pricebooks: tuple[Path, ...]) -> None:
    """Serve the API; the first start on a new database prints an admin key once."""
    from estimator.app import open_context
    from estimator.service.keys import first_key
    from estimator.settings import from_environment

    told = {
        "ESTIMATOR_HOST": host,
        "ESTIMATOR_PORT": None if port is None else str(port),
        "ESTIMATOR_DATA": None if data is None else str(data),
        "ESTIMATOR_PRICEBOOKS": os.pathsep.join(map(str, pricebooks)) or None,
    }
    os.environ.update({name: value for name, value in told.items() if value is not None})
    with refusals():
        settings = from_environment()
        context = open_context(settings)
        key = first_key(context)
        context.engine.dispose()
    if key is not None:
        click.echo(f"key: {key}")
        click.echo("This admin key is shown only now. Make others with: estimator keys create", err=True)
    click.echo(f"Serving on http://{settings.host}:{settings.port}/docs", err=True)
    _run(settings)


def _run(settings: Settings) -> None:
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    Granian(
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
    ).serve()
