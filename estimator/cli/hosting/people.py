"""``estimator people``: who signs in to the pages."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from estimator.cli.terminal.refusing import echo_json, refusals
from estimator.sentences import LANGUAGES
from estimator.service.access.key_terms import FIRST_ORGANISATION
from estimator.storage.roles import ROLES

if TYPE_CHECKING:
    from estimator.service.context import ServiceContext
    from estimator.service.people.records import Person

Option = Callable[[Callable[..., None]], Callable[..., None]]
data: Option = click.option("--data", type=click.Path(path_type=Path), help="folder of the embedded database")
UNITS = ("metric", "us", "metric_us", "us_metric")


@click.group()
def people() -> None:
    """Invite, list, change and end accounts of people."""


@people.command()
@data
@click.argument("login")
@click.option("--organisation", default=FIRST_ORGANISATION, show_default=True)
@click.option("--name", required=True, help='what "prepared by" prints')
@click.option("--role", required=True, type=click.Choice(ROLES))
@click.option("--language", type=click.Choice(LANGUAGES), default="en", show_default=True)
@click.option("--units", type=click.Choice(UNITS), default="metric", show_default=True)
def invite(data: Path | None, login: str, organisation: str, **told: str) -> None:
    """Make an account for LOGIN (an e-mail address, say); prints the end of an invitation link, shown only now."""
    from estimator.service.people.accounts import Newcomer
    from estimator.service.people.accounts import invite as make

    with refusals():
        token, person = make(_context(data), organisation, Newcomer(login, **told))
        _tell_invitation(token, person)


@people.command("invite-again")
@data
@click.argument("login")
def invite_again(data: Path | None, login: str) -> None:
    """A new invitation for LOGIN, to choose a new password with."""
    from estimator.service.people.accounts import invite_again as make

    with refusals():
        token, person = make(_context(data), login)
        _tell_invitation(token, person)


@people.command()
@data
@click.argument("login")
@click.password_option("--password", envvar="ESTIMATOR_NEW_PASSWORD", help="asked for where it is not given")
def password(data: Path | None, login: str, password: str) -> None:
    """Set the password of LOGIN from here; all its browsers are signed out."""
    from estimator.service.people.accounts import set_password

    with refusals():
        click.echo(_line(set_password(_context(data), login, password)))


@people.command("list")
@data
@click.option("--json", "as_json", is_flag=True)
def list_all(data: Path | None, as_json: bool) -> None:
    """Everybody who has an account."""
    from estimator.service.people.accounts import list_people
    from estimator.service.people.records import Person

    with refusals(as_json=as_json):
        found = list_people(_context(data))
        if as_json:
            fields = [name for name in Person.__dataclass_fields__ if name != "organisation"]
            echo_json(
                [{"organisation": house, **{name: getattr(who, name) for name in fields}} for who, house in found]
            )
        for who, house in found if not as_json else ():
            click.echo(f"{_line(who)}  {house}")


@people.command()
@data
@click.argument("login")
@click.option("--name")
@click.option("--role", type=click.Choice(ROLES))
@click.option("--language", type=click.Choice(LANGUAGES))
@click.option("--units", type=click.Choice(UNITS))
def change(data: Path | None, login: str, **told: str | None) -> None:
    """Give LOGIN another name, role, language or other units."""
    from estimator.service.people.accounts import change_person

    with refusals():
        changes = {name: value for name, value in told.items() if value is not None}
        click.echo(_line(change_person(_context(data), login, changes)))


@people.command()
@data
@click.argument("login")
def end(data: Path | None, login: str) -> None:
    """End the account of LOGIN; what it did stays under its name."""
    from estimator.service.people.accounts import end_account

    with refusals():
        click.echo(_line(end_account(_context(data), login)))


def _tell_invitation(token: str, person: Person) -> None:
    click.echo(f"/invitations/{token}")
    click.echo(_line(person), err=True)
    click.echo(
        "Put the service's address before it and send it to nobody else; it opens once, within 7 days.", err=True
    )


def _context(data: Path | None) -> ServiceContext:
    from estimator.opening import open_house
    from estimator.settings import from_environment

    if data is not None:
        os.environ["ESTIMATOR_DATA"] = str(data)
    return open_house(from_environment())


def _line(person: Person) -> str:
    last = person.signed_in_at.strftime("%Y-%m-%d") if person.signed_in_at else "never"
    told = f"{person.role}  {person.language}  {person.units}  {person.standing}  last here {last}"
    return f"{person.login}  {person.name!r}  {told}"
