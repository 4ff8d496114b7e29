"""`trainer`: the one entry point. Every module of this folder with a `command` is one."""

import sys
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import click

from trainer import cli
from trainer.cli.lines import WRONG_INPUT
from trainer.cli.own_output import keep_output_ours
from trainer.core.problems import InputProblem

ASIDE = frozenset(
    {"audit_tables", "bank_rows", "entry", "instance", "lines", "own_output", "processes"}
)
"""Modules of this folder that are no commands."""


class Commands(click.Group):
    """Loads a command's module only when it is asked for, so that each starts fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every command by name."""
        names = (module.name for module in iter_modules(cli.__path__))
        return sorted(name.replace("_", "-") for name in names if name not in ASIDE)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        if cmd_name not in self.list_commands(ctx):
            return None
        module = import_module(f"trainer.cli.{cmd_name.replace('-', '_')}")
        command: click.Command = module.command
        return command

    def invoke(self, ctx: click.Context) -> Any:
        """Run what was asked for; wrong input ends it with 2 and the problem's own words."""
        try:
            return super().invoke(ctx)
        except InputProblem as problem:
            click.echo(str(problem), err=True)
            sys.exit(WRONG_INPUT)


@click.command(cls=Commands, epilog="Example: trainer serve --demo")
@click.version_option(package_name="trainer")
def main() -> None:
    """Train, assess and attest hair-extension stylists.

    Machine output is JSON on standard output, messages go to standard error. Exit 0: done;
    1: the answer is no; 2: the input is wrong.
    """


def start() -> None:
    """The program as it is started from outside."""
    keep_output_ours()
    main()
