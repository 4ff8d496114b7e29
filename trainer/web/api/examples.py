"""Two short programs that ask, as the guide shows them; the tests run them."""

from collections.abc import Mapping
from importlib.resources import files

FILES = {"ask.py": "ask.py.txt", "follow.sh": "follow.sh.txt"}


def examples(address: str) -> Mapping[str, str]:
    """{what to call the file: its text}, with the service's address in the line of use."""
    folder = files("trainer.web.api").joinpath("clients")
    return {
        name: folder.joinpath(file).read_text(encoding="utf-8").replace(" ADDRESS ", f" {address} ")
        for name, file in FILES.items()
    }
