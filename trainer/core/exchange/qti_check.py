"""Is a QTI 3.0 document or package sound: by our grammar, and by what its parts say.

The grammar (`qti3-profile.rng`) is ours, narrower than the official schema, which may not be
copied into a project; whoever holds the official files can hand them in.
"""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files as resources
from typing import Any

from lxml import etree

from trainer.core.exchange.qti_references import document_breaks, package_breaks

GRAMMAR = "qti3-profile.rng"
XSD = "http://www.w3.org/2001/XMLSchema"


def read_document(text: bytes) -> Any:
    """An XML document's root; nothing outside it is read, no entity is followed.

    Raises etree.XMLSyntaxError where it is no XML.
    """
    return etree.fromstring(text, _parser())


def grammar_faults(root: Any) -> list[str]:
    """Where a document breaks our grammar, by line; empty when it keeps it."""
    grammar = _grammar()
    if grammar.validate(root):
        return []
    return [f"line {error.line}: {error.message}" for error in grammar.error_log]


def faults(root: Any) -> list[str]:
    """What is wrong with one document, by grammar and by its own references."""
    return grammar_faults(root) or document_breaks(root)


def package_faults(files: Mapping[str, bytes], xsd: Mapping[str, bytes] | None = None) -> list[str]:
    """What is wrong with a whole package.

    Parameters
    ----------
    files : Every file of the zip by its path.
    xsd : The official schema's files by name, from whoever holds them; None: not asked.

    Returns
    -------
    Lines 'file: what is wrong'; empty when sound.
    """
    found, documents = [], {}
    for name, content in files.items():
        if not name.endswith(".xml"):
            continue
        try:
            documents[name] = read_document(content)
        except etree.XMLSyntaxError as problem:
            found.append(f"{name}: is no XML: {problem}")
    for name, root in documents.items():
        wrong = faults(root) + (schema_faults(root, xsd) if xsd else [])
        found += [f"{name}: {one}" for one in wrong]
    return found + package_breaks(documents, list(files))


def schema_faults(root: Any, xsd: Mapping[str, bytes]) -> list[str]:
    """Where a document breaks the official schema, from its files; nothing is fetched.

    Raises ValueError if none of the files is for the document's namespace, or they do not fit.
    """
    name = etree.QName(root)
    mains = [one for one, text in xsd.items() if _declares(read_document(text), name)]
    if not mains:
        raise ValueError(f"no schema file is for {name.localname} of {name.namespace}")
    parser, main = _parser(), mains[0]
    parser.resolvers.add(_Beside(xsd))
    try:
        schema = etree.XMLSchema(etree.fromstring(xsd[main], parser, base_url=main))
    except etree.XMLSchemaParseError as problem:
        raise ValueError(f"the schema files do not fit together: {problem}") from None
    if schema.validate(root):
        return []
    return [f"line {error.line}: {error.message}" for error in schema.error_log]


def _declares(schema: Any, name: etree.QName) -> bool:
    """Whether a schema file declares an element on its top level."""
    elements = [one.get("name") for one in schema.iterchildren(f"{{{XSD}}}element")]
    return schema.get("targetNamespace") == name.namespace and name.localname in elements


class _Beside(etree.Resolver):  # type: ignore[misc]  # lxml carries no types
    """Finds what a schema includes among the files that were handed in, by its last name."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files

    def resolve(self, url: str, public_id: str, context: Any) -> Any:
        """The file of that name; an empty document where there is none, so nothing is fetched."""
        text = self._files.get((url or "").rsplit("/", 1)[-1], b"<none/>")
        return self.resolve_string(text, context, base_url=url)


def _parser() -> etree.XMLParser:
    return etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)


@cache
def _grammar() -> etree.RelaxNG:
    text = resources("trainer.core.exchange").joinpath(GRAMMAR).read_bytes()
    return etree.RelaxNG(read_document(text))
