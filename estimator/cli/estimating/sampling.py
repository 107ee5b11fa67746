"""``estimator sample-job``: a small job, whole, to begin with."""

from __future__ import annotations

from pathlib import Path

import click

UNITS = ("metric", "us")


@click.command("sample-job")
@click.option("--units", type=click.Choice(UNITS), default=UNITS[0], show_default=True, help="metric, or US customary")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="file to write it to")
def sample_job(units: str, out: Path | None) -> None:
    """Print a small job as it is posted: one roof, one array around a skylight, every load given.

    Everybody in it is invented. It quotes with the pricebooks that ship, and with the one of `estimator new-pricebook`.
    """
    from estimator.demo import sample_job as sample

    text = sample(units)
    if out is None:
        click.echo(text, nl=False)
    else:
        out.write_text(text, encoding="utf-8")
