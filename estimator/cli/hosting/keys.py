"""``estimator keys``: who may call the service."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.terminal.refusing import echo_json, refusals
from estimator.service.access.key_terms import DEFAULT_DAYS, FIRST_ORGANISATION
from estimator.storage.roles import ROLES

if TYPE_CHECKING:
    from estimator.service.access.keys import KeySummary
    from estimator.service.context import ServiceContext

Option = Callable[[Callable[..., None]], Callable[..., None]]
data: Option = click.option("--data", type=click.Path(path_type=Path), help="folder of the embedded database")


@click.group()
def keys() -> None:
    """Create, list, rotate and revoke keys."""


@keys.command()
@data
@click.option("--organisation", default=FIRST_ORGANISATION, show_default=True)
@click.option("--role", required=True, type=click.Choice(ROLES))
@click.option("--name", required=True, help="who or what uses the key; it signs quotes and overrides")
@click.option("--days", type=click.IntRange(1, 3650), default=DEFAULT_DAYS, show_default=True)
def create(data: Path | None, organisation: str, role: str, name: str, days: int) -> None:
    """Make a key; it is shown only now."""
    from estimator.service.access.keys import create_key

    with refusals():
        token, summary = create_key(_context(data), organisation, role, name, days)
        click.echo(f"key: {token}")
        click.echo(_line(summary), err=True)


@keys.command("list")
@data
@click.option("--json", "as_json", is_flag=True)
def list_all(data: Path | None, as_json: bool) -> None:
    """Every key, without its secret."""
    from estimator.service.access.keys import KeySummary, list_keys

    with refusals(as_json=as_json):
        summaries = list_keys(_context(data))
        if as_json:
            echo_json(
                [{name: getattr(summary, name) for name in KeySummary.__dataclass_fields__} for summary in summaries]
            )
        for summary in summaries if not as_json else ():
            click.echo(_line(summary))


@keys.command()
@data
@click.argument("prefix")
def revoke(data: Path | None, prefix: str) -> None:
    """End the key that begins with PREFIX, now."""
    from estimator.service.access.keys import revoke_key

    with refusals():
        click.echo(_line(revoke_key(_context(data), prefix)))


@keys.command()
@data
@click.argument("prefix")
@click.option("--overlap-days", type=click.IntRange(0, 365), default=7, show_default=True)
def rotate(data: Path | None, prefix: str, overlap_days: int) -> None:
    """Make a new key in the place of the one that begins with PREFIX, which stays valid for the overlap."""
    from estimator.service.access.keys import rotate_key

    with refusals():
        token, summary = rotate_key(_context(data), prefix, overlap_days)
        click.echo(f"key: {token}")
        click.echo(_line(summary), err=True)


def _context(data: Path | None) -> ServiceContext:
    from estimator.opening import open_house
    from estimator.settings import from_environment

    if data is not None:
        os.environ["ESTIMATOR_DATA"] = str(data)
    return open_house(from_environment())


def _line(summary: KeySummary) -> str:
    state = "revoked" if summary.revoked_at else f"until {summary.expires_at:%Y-%m-%d}"
    return f"est_{summary.prefix}_...  {summary.organisation}  {summary.role}  {summary.name!r}  {state}"
