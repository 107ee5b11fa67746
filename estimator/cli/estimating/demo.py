"""``estimator demo``: the shipped jobs with the shipped, invented pricebooks."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from estimator.cli.terminal.dates import DateOption, today
from estimator.cli.terminal.refusing import refusals


@click.command()
@click.option("--out", type=click.Path(path_type=Path), default=Path("estimator-demo"), help="folder for the documents")
@click.option("--on", type=DateOption(), help="date of pricing; today if left out")
def demo(out: Path, on: date | None) -> None:
    """Quote the demonstration jobs with both demonstration pricebooks; all names and prices in them are invented."""
    from estimator.cli.estimating.making import quote_job, tell
    from estimator.demo import books_folder, demo_jobs
    from estimator.service.catalogue import Catalogue

    catalogue = Catalogue([books_folder()])
    with refusals():
        for each in demo_jobs():
            day = on or today()
            asked = {"pricebook": each.pricebook, "priced_on": day}
            tell(quote_job(each.file, asked, catalogue, out / each.file.stem, each.document(day)))
    click.echo(f"The documents lie in {out.absolute()}. All names, parts and prices in them are invented.")
    click.echo("See them in a browser: estimator serve --demo")
