"""The general way to the canonical form: PyLD, with the pinned contexts, nothing of ours."""

from openvc.proof.contexts import document_loader, pyld_options
from pyld import jsonld

from trainer.core.records.contexts import open_badges


def general(document: dict) -> bytes:
    """Canonical N-Quads of a document by JSON-LD expansion and RDFC-1.0."""
    options = pyld_options(
        document_loader(open_badges()), algorithm="URDNA2015", format="application/n-quads"
    )
    return jsonld.normalize(document, options).encode()
