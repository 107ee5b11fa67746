"""A job file to an offer and its documents, with progress on standard error."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from estimator.cli.estimating.papers import Papers, write_papers
from estimator.cli.terminal.dates import today
from estimator.cli.terminal.progress import Progress
from estimator.cli.terminal.refusing import read_document
from estimator.comparison.compare import offer
from estimator.contract.faults import Document, read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.estimate import PROMPT
from estimator.job import Choices
from estimator.pricing.rail_offers import kept_places
from estimator.service.calculations import patient_effort
from estimator.service.catalogue import Catalogue


def quote_job(
    path: Path, asked: Mapping[str, Any], catalogue: Catalogue, out: Path, document: Document | None = None
) -> Papers:
    """One job file to its documents, with progress on standard error; ``asked`` is what ``ChoicesSchema`` loads.

    ``document`` is what the file holds, where it has been read already.
    """
    on = asked.get("priced_on") or today()
    with Progress() as progress:
        progress.step(f"{path.name}: reading")
        job = read_job(read_document(path) if document is None else document, JobSchema())
        book = catalogue.choose("", asked.get("pricebook"), asked.get("edition"), on, job)
        progress.step(f"{path.name}: counting and pricing with {book.id} {book.edition}")
        seconds = (asked.get("proof") or {}).get("seconds")
        watch = progress.of_search(kept_places(book), seconds)
        effort = replace(PROMPT if seconds is None else patient_effort(seconds), watch=watch)
        made = offer(job, book, asked.get("choices") or Choices(), on, effort=effort)
        return write_papers(made, on, out, lambda name: progress.step(f"{path.name}: writing {name}"))


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
            click.echo(f"  failed: {check.message}")
    click.echo(f"  documents in {papers.folder}: {', '.join(path.name for path in papers.files)}")
