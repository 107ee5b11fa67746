"""``estimator work``: operations of a service that leaves them to workers, on as many machines as it takes."""

from __future__ import annotations

import click

from estimator.cli.terminal.refusing import refusals
from estimator.sentences import say


@click.command()
@click.option("--processes", type=click.IntRange(1, 256), help="calculations at a time; one for each core if left out")
@click.option("--metrics-port", type=click.IntRange(1, 65_535), help="serve /metrics of this process there")
def work(processes: int | None, metrics_port: int | None) -> None:
    """Work on operations that the service on the same PostgreSQL records, until told to end.

    Start the service with ESTIMATOR_OPERATIONS=apart, and this with the same settings, any number of times.
    Told to end (SIGTERM), it hands what it works on back, so that another goes on at once.
    """
    from dataclasses import replace

    from prometheus_client import start_http_server

    from estimator.app import open_context, set_up_log, with_processes
    from estimator.errors import Fault, Refused
    from estimator.service.outbox.sealed_secrets import check_key
    from estimator.settings import from_environment
    from estimator.tasks import queue
    from estimator.tasks.work import PaperKeeper, Workers, patiently

    with refusals():
        settings = from_environment()
        if settings.database_url.startswith("sqlite"):
            why = say("workers of their own need PostgreSQL; on SQLite the service works itself")
            raise Refused(why, [Fault("ESTIMATOR_DATABASE_URL", why, "postgresql+psycopg://...")])
        opened = open_context(settings)
        check_key(opened)
    set_up_log(settings.log_level)
    context, pool = with_processes(opened, settings, processes)
    context = replace(context, announce=queue.announcer(context.engine))
    if metrics_port is not None:
        start_http_server(metrics_port, settings.host)
    sweeping = Workers(context, pool, look_every_seconds=SWEEP_SECONDS)
    papers = PaperKeeper(context, pool)

    def begin() -> None:
        sweeping.start()
        papers.start()
        click.echo("Working", err=True)

    conninfo = context.engine.url.set(drivername="postgresql").render_as_string(hide_password=False)
    queue.run_queue(patiently(context, pool), conninfo, pool.limits.processes, begin)
    sweeping.hand_back()


SWEEP_SECONDS = 5.0
"""From time to time one thread looks for operations without a job in the queue, left by a worker that was killed."""
