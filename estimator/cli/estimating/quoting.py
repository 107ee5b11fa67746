"""``estimator quote``: a job file to documents in a folder."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from estimator.cli.terminal.dates import DateOption
from estimator.cli.terminal.refusing import echo_json, read_document, refusals


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--pricebook", help="id of the pricebook; without it, the one that fits the site's country")
@click.option("--pricebooks", type=click.Path(path_type=Path), multiple=True, help="folder of pricebooks")
@click.option("--on", type=DateOption(), help="date of pricing; today if left out")
@click.option("--choices", type=click.Path(path_type=Path), help="JSON file of choices: margin, offcuts, overrides ...")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="folder for the documents")
@click.option("--json", "as_json", is_flag=True, help="print the estimate as JSON")
@click.option(
    "--seconds",
    type=click.IntRange(1, 3_600),
    help="search for the cut plan until proven, or for so many seconds",
)
def quote(
    job: Path,
    pricebooks: tuple[Path, ...],
    choices: Path | None,
    out: Path,
    as_json: bool,
    seconds: int | None,
    **given: str | date | None,
) -> None:
    """Check, count, plan and price the job in the file JOB; write its documents.

    The file of choices holds what a quote over REST may choose (margin, discounts, changes of lines, off-cuts on hand
    with their price and number); options of the command win over it.
    """
    from estimator.cli.estimating.making import quote_job, tell
    from estimator.cli.terminal.catalogues import catalogue_of
    from estimator.contract.answers.offer.offer import offer_entry
    from estimator.contract.faults import read
    from estimator.contract.requests.choices import ChoicesSchema

    with refusals(as_json=as_json):
        asked = read(ChoicesSchema(), read_document(choices)) if choices else {}
        asked |= {} if seconds is None else {"proof": {"seconds": seconds}}
        named = {"pricebook": given["pricebook"], "priced_on": given["on"]}
        asked |= {name: value for name, value in named.items() if value is not None}
        papers = quote_job(job, asked, catalogue_of(pricebooks), out)
        if as_json:
            files = [path.name for path in papers.files]
            echo_json({"files": files, "estimate": offer_entry(papers.offer, costs=True)})
        else:
            tell(papers)
