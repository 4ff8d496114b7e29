"""`python -m trainer` is `trainer`."""

from trainer.cli.entry import start

start()
