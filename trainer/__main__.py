"""`python -m trainer` is `trainer`."""

from trainer.cli.entry import main

main()
