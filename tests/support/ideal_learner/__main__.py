"""Answer every question of a folder, in JSON Lines."""

import json
import sys
from pathlib import Path

from tests.support.ideal_learner.answers import answer
from tests.support.ideal_learner.book import Book


def main(folder: Path) -> None:
    def rows(name):
        lines = (folder / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
        return [json.loads(line) for line in lines]

    book = Book(rows("facts"), rows("rules"), rows("procedures"), rows("misconceptions"))
    for item in rows("questions"):
        row = {"id": item["id"], "response": answer(book, item)}
        sys.stdout.write(json.dumps(row) + "\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
