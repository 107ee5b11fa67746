"""The command line's entry: every command by its name."""

from __future__ import annotations

import click

from estimator.cli.books import check_pricebook
from estimator.cli.cutting import cut
from estimator.cli.demo import demo
from estimator.cli.keys import keys
from estimator.cli.loads import loads
from estimator.cli.quoting import quote
from estimator.cli.serving import serve


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="estimator", prog_name="estimator")
def main() -> None:
    """Materials takeoff and cost estimates for module arrays on ribbed metal roofs.

    An estimating aid: spacings and load checks are preliminary and are to be verified by a licensed engineer.
    """


for command in (quote, loads, demo, serve, check_pricebook, cut, keys):
    main.add_command(command)
