"""Requests whose texts hold no NUL: it belongs to no text, and PostgreSQL refuses it."""

from typing import IO, Any

from flask import Request
from werkzeug.datastructures import ImmutableMultiDict, MultiDict
from werkzeug.formparser import FormDataParser
from werkzeug.utils import cached_property

NUL = "\0"


class PlainForm(FormDataParser):
    """Reads a form as its base class does, without NUL."""

    def parse(
        self, stream: IO[bytes], *given: Any, **named: Any
    ) -> tuple[IO[bytes], MultiDict[str, str], MultiDict[str, Any]]:
        """The rest of the stream, the form's texts, its files."""
        rest, form, files = super().parse(stream, *given, **named)
        return rest, self.cls(_plain(form)), files


class PlainRequest(Request):
    """A request whose address and form hold no NUL."""

    form_data_parser_class = PlainForm

    @cached_property
    def args(self) -> MultiDict[str, str]:
        """What the address asks."""
        return ImmutableMultiDict(_plain(super().args))


def _plain(given: MultiDict[str, str]) -> list[tuple[str, str]]:
    pairs = given.items(multi=True)
    return [(name.replace(NUL, ""), text.replace(NUL, "")) for name, text in pairs]
