"""``estimator new-pricebook``: a small pricebook to begin with."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from estimator.cli.terminal.dates import DateOption, today
from estimator.cli.terminal.refusing import refusals


@click.command("new-pricebook")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(("metric", "us")), default="metric", show_default=True)
@click.option("--locale", help="how numbers are written, such as de-DE, fr-FR, en-US; by default that of the units")
@click.option("--valid-from", type=DateOption(), help="its first day; today if left out")
def new_pricebook(folder: Path, units: str, locale: str | None, valid_from: date | None) -> None:
    """Write a small, commented pricebook into FOLDER, named .../ID/EDITION, such as books/our-house/2027-01.

    Its parts and prices are invented; it prices the sample job as it is. Change it in a spreadsheet and an editor, and
    check it with `estimator check-pricebook FOLDER`.
    """
    from estimator.storage.books.begin import LOCALES, Beginning, begin_book

    with refusals():
        files = begin_book(Beginning(folder, units, locale or LOCALES[units], valid_from or today()))
        click.echo(f"{len(files)} files in {folder}: {', '.join(path.name for path in files)}")
        click.echo(f"Check it: estimator check-pricebook {folder}")
        click.echo(
            f"Try it: estimator sample-job --units {units} --out job.json; estimator quote job.json "
            f"--pricebooks {folder.absolute().parents[1]} --pricebook {folder.absolute().parent.name} --out quote"
        )
