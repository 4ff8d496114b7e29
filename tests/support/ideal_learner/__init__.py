"""An outside program that knows only what the command line prints. It imports nothing of ours.

It reads the JSON Lines of `trainer facts`, `rules`, `procedures` and `misconceptions`, and of
`trainer questions` with keys and reasons taken away, and answers from each item's givens:
`python -m tests.support.ideal_learner FOLDER` reads FOLDER/{facts,rules,...,questions}.jsonl and
prints responses that `trainer mark` takes.
"""
