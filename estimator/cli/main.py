"""The command line's entry: every command by its name, loaded when it is called."""

from __future__ import annotations

from importlib import import_module

import click

COMMANDS = {
    "quote": "estimating.quoting:quote",
    "loads": "estimating.loads:loads",
    "demo": "estimating.demo:demo",
    "serve": "hosting.serving:serve",
    "check-pricebook": "pricebooks.books:check_pricebook",
    "new-pricebook": "pricebooks.new_books:new_pricebook",
    "cut": "estimating.cutting:cut",
    "sample-job": "estimating.sampling:sample_job",
    "keys": "hosting.keys:keys",
    "backup": "hosting.backups:backup",
    "restore": "hosting.backups:restore",
    "work": "hosting.working:work",
    "people": "hosting.people:people",
}
"""Room and file of each command, and its name there; it imports what it works with inside functions."""


class Commands(click.Group):
    """A group that reads a command's file when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Their names."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name."""
        if cmd_name not in COMMANDS:
            return None
        file, name = COMMANDS[cmd_name].split(":")
        command = getattr(import_module(f"estimator.cli.{file}"), name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="estimator", prog_name="estimator")
def main() -> None:
    """Materials takeoff and cost estimates for module arrays on ribbed metal roofs.

    An estimating aid: spacings and load checks are preliminary and are to be verified by a licensed engineer.
    """
