"""``estimator quote``: a job file to documents in a folder."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from estimator.cli.papers import Papers, write_papers
from estimator.cli.refusing import echo_json, read_document, refusals
from estimator.comparison.compare import offer
from estimator.contract.answers.offer.offer import offer_entry
from estimator.contract.faults import read, read_job
from estimator.contract.requests.choices import ChoicesSchema
from estimator.contract.requests.job import JobSchema
from estimator.job import Wishes
from estimator.service.catalogue import Catalogue
from estimator.settings import from_environment


class DateOption(click.ParamType[date]):
    """A date as ISO 8601 writes it."""

    name = "date"

    def convert(self, value: str | date, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The date."""
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is no date such as 2027-03-15", param, ctx)


def today() -> date:
    """The date by the clock."""
    return datetime.now(UTC).date()


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--pricebook", help="id of the pricebook; without it, the one that fits the site's country")
@click.option("--pricebooks", type=click.Path(path_type=Path), multiple=True, help="folder of pricebooks")
@click.option("--on", type=DateOption(), help="date of pricing; today if left out")
@click.option("--choices", type=click.Path(path_type=Path), help="JSON file of choices: margin, offcuts, overrides ...")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="folder for the documents")
@click.option("--json", "as_json", is_flag=True, help="print the estimate as JSON")
def quote(
    job: Path,
    pricebook: str | None,
    pricebooks: tuple[Path, ...],
    on: date | None,
    choices: Path | None,
    out: Path,
    as_json: bool,
) -> None:
    """Check, count, plan and price the job in the file JOB; write its documents.

    The file of choices holds what a quote over REST may choose (margin, discounts, changes of lines, off-cuts on hand
    with their price and number); options of the command win over it.
    """
    with refusals(as_json=as_json):
        asked = read(ChoicesSchema(), read_document(choices)) if choices else {}
        asked |= {name: value for name, value in (("pricebook", pricebook), ("priced_on", on)) if value is not None}
        papers = quote_job(job, asked, catalogue_of(pricebooks), out)
        if as_json:
            files = [path.name for path in papers.files]
            echo_json({"files": files, "estimate": offer_entry(papers.offer, costs=True)})
        else:
            tell(papers)


def catalogue_of(folders: tuple[Path, ...]) -> Catalogue:
    """The pricebooks in the folders told, else those of the settings."""
    settings = from_environment()
    return Catalogue(folders or settings.pricebooks, logo=settings.logo)


def quote_job(path: Path, choices: Mapping[str, Any], catalogue: Catalogue, out: Path) -> Papers:
    """One job file to its documents, with progress on standard error; ``choices`` as ``ChoicesSchema`` loads them."""
    on = choices.get("priced_on") or today()
    console = Console(stderr=True)
    with console.status(f"{path.name}: reading") as status:
        job = read_job(read_document(path), JobSchema())
        book = catalogue.choose("", choices.get("pricebook"), choices.get("edition"), on, job)
        status.update(f"{path.name}: counting and pricing with {book.id} {book.edition}")
        made = offer(job, book, choices.get("wishes") or Wishes(), on)
        return write_papers(made, on, out, lambda name: status.update(f"{path.name}: writing {name}"))


def tell(papers: Papers) -> None:
    """What came out, in a few lines."""
    estimate = papers.offer.estimate
    stands, totals, counts = estimate.provenance, estimate.bill.totals, estimate.counts.counts
    click.echo(f"{estimate.job.reference}: {estimate.job.title}")
    click.echo(f"  pricebook {stands.pricebook} {stands.edition}, in force on {stands.priced_on}")
    click.echo(f"  {counts.modules} modules, {counts.attachments} attachments, {counts.runs} rail runs")
    click.echo(f"  total {totals.total.amount} {totals.total.currency}, tax included")
    for check in estimate.checks:
        if check.severity == "error":
            click.echo(f"  does not hold: {check.message}")
    click.echo(f"  documents in {papers.folder}: {', '.join(path.name for path in papers.files)}")
