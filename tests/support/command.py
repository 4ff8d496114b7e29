"""The command line as a test starts it."""

from typing import Any

from click.testing import CliRunner

from trainer.cli.entry import main


def run(*words: Any, **more: Any) -> tuple[int, str, str]:
    """Exit code, standard output and messages of `trainer WORDS`. Fails on a crash.

    `more`: `input` or `env`, as click's runner takes them.
    """
    found = CliRunner().invoke(main, [str(word) for word in words], **more)
    assert not found.exception or isinstance(found.exception, SystemExit), found.exception
    return found.exit_code, found.stdout, found.stderr
