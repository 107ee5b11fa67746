"""The queue of PostgreSQL: carries ids of operations to workers on any machine; the operations are the truth.

A job of the queue is recorded in the transaction of its operation. A job that is lost or comes twice does no harm:
whoever comes takes a lease on the operation first, and a sweep finds what no job tells of.
"""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from sqlalchemy import Engine, text
from sqlalchemy.orm import Session

from estimator.service.context import Announce, ServiceContext
from estimator.tasks.work import ENDING, work_once

TASK = "estimator.operation"
QUEUE = "operations"
LOCK = 727_110_002  # any number, so long as every machine of the service takes the same


def make_queue_tables(engine: Engine) -> None:
    """The queue's own tables, where there are none yet."""
    from procrastinate.schema import SchemaManager  # noqa: PLC0415  an extra

    with engine.begin() as connection:
        connection.execute(text(f"SELECT pg_advisory_xact_lock({LOCK})"))
        if connection.scalar(text("SELECT to_regclass('procrastinate_jobs')")) is None:
            driver = connection.connection.driver_connection
            assert driver is not None
            driver.execute(SchemaManager.get_schema())


def announcer(engine: Engine) -> Announce:
    """Puts a job on the queue in the transaction that records an operation."""
    import procrastinate  # noqa: PLC0415  an extra

    make_queue_tables(engine)
    app = procrastinate.App(connector=procrastinate.SyncPsycopgConnector())

    def announce(session: Session, operation_id: str) -> None:
        connection = session.connection().connection.driver_connection
        deferrer: Any = app.configure_task(TASK, queue=QUEUE, connection=connection)
        deferrer.defer(operation_id=operation_id)

    return announce


def run_queue(context: ServiceContext, conninfo: str, at_once: int, begin: Callable[[], None]) -> None:
    """Take jobs of the queue until this process is told to end; what is under way then is handed back.

    ``begin`` is called once the process hears that it is told to end: what takes up operations starts there.
    """
    import procrastinate  # noqa: PLC0415  an extra

    app = procrastinate.App(connector=procrastinate.PsycopgConnector(conninfo=conninfo))

    def operation(operation_id: str) -> None:
        work_once(context, operation_id=operation_id)

    app.task(name=TASK, queue=QUEUE)(operation)
    asyncio.run(_until_told(app, at_once, begin))


async def _until_told(app: Any, at_once: int, begin: Callable[[], None]) -> None:
    told = asyncio.Event()

    def end() -> None:
        ENDING.set()
        told.set()

    for each in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(each, end)
    begin()
    async with app.open_async():
        taking = asyncio.create_task(
            app.run_worker_async(
                queues=[QUEUE],
                concurrency=at_once,
                wait=True,
                fetch_job_polling_interval=2.0,
                delete_jobs="always",
                install_signal_handlers=False,
            )
        )
        waiting = asyncio.create_task(told.wait())
        await asyncio.wait((taking, waiting), return_when=asyncio.FIRST_COMPLETED)
        waiting.cancel()
        taking.cancel()  # it ends once the jobs under way have
        with suppress(asyncio.CancelledError):
            await taking
