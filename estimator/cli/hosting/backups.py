"""``estimator backup`` and ``estimator restore``: the embedded database to a file, and back."""

from __future__ import annotations

import os
from pathlib import Path

import click

from estimator.cli.terminal.refusing import refusals


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--data", type=click.Path(path_type=Path), help="folder of the embedded database")
def backup(file: Path, data: Path | None) -> None:
    """Copy the embedded database to FILE, safely while the service runs; the copy is looked at before it counts.

    FILE holds everything, also digests of keys: keep it as you keep the database. What is not in it: shared pricebook
    folders, the settings, and the key that opens secrets of webhooks (ESTIMATOR_SECRETS_KEY, else secrets.key in the
    data folder), which you keep elsewhere. PostgreSQL: pg_dump and pg_restore.
    """
    from estimator.storage.backup import back_up

    with refusals():
        copied = back_up(_url(data), file)
        click.echo(f"{copied.place}: {copied.size} bytes, {copied.rows} rows, tables of form {copied.revision}")
        click.echo(
            "Not in it: the key that opens secrets of webhooks (ESTIMATOR_SECRETS_KEY, else secrets.key in the data "
            "folder). Keep a copy of it elsewhere: without it a restored service starts only with --secrets-key-lost.",
            err=True,
        )


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--data", type=click.Path(path_type=Path), help="folder of the embedded database")
@click.option("--replace", is_flag=True, help="keep the database that is there beside the restored one")
def restore(file: Path, data: Path | None, replace: bool) -> None:
    """Put the copy FILE in the place of the embedded database; the service has to be stopped."""
    from estimator.storage.backup import restore as put_back

    with refusals():
        copied = put_back(_url(data), file, replace=replace)
        click.echo(f"{copied.place}: {copied.size} bytes, {copied.rows} rows, tables of form {copied.revision}")
        click.echo("Tables of an earlier form are brought to today's when the service starts.", err=True)
        click.echo(
            "It starts with the key of the service that was copied: ESTIMATOR_SECRETS_KEY, or its secrets.key put into "
            "the data folder; where that is lost, start once with --secrets-key-lost.",
            err=True,
        )


def _url(data: Path | None) -> str:
    from estimator.settings import from_environment

    if data is not None:
        os.environ["ESTIMATOR_DATA"] = str(data)
    return from_environment().database_url
