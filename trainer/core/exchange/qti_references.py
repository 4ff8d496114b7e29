"""What a grammar cannot see in QTI 3.0 documents: whether names mean something, files are there."""

from collections.abc import Mapping, Sequence
from posixpath import dirname, join, normpath
from typing import Any

BUILT_IN = {"completionStatus", "numAttempts", "duration"}
"""Variables that every item has without declaring them."""
TEMPLATES = tuple(
    f"https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/{name}.xml"
    for name in ("match_correct", "map_response", "map_response_point")
)
WANTED: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "qti-choice-interaction": (("single", "multiple"), ("identifier",)),
    "qti-order-interaction": (("ordered",), ("identifier",)),
    "qti-hotspot-interaction": (("single", "multiple"), ("identifier",)),
    "qti-graphic-order-interaction": (("ordered",), ("identifier",)),
    "qti-select-point-interaction": (("single", "multiple"), ("point",)),
    "qti-text-entry-interaction": (("single", "record"), ("string", "integer", "float")),
    "qti-end-attempt-interaction": (("single",), ("boolean",)),
}
"""Interaction -> cardinalities and base types that its response may have."""
CHOICES = {"qti-simple-choice", "qti-hotspot-choice"}
MANIFEST = "imsmanifest.xml"


def document_breaks(root: Any) -> list[str]:
    """What of one item, test or manifest refers to nothing, or to the wrong thing."""
    kind = _name(root)
    if kind == "qti-assessment-item":
        return [*_declared(root), *_interactions(root), *_marking(root)]
    if kind == "qti-assessment-test":
        return _repeated(
            root, {"qti-test-part", "qti-assessment-section", "qti-assessment-item-ref"}
        )
    if kind == "manifest":
        return _manifest(root)
    return []


def package_breaks(documents: Mapping[str, Any], names: Sequence[str]) -> list[str]:
    """What of a package's files is missing, unlisted or listed twice. `names`: every path."""
    if MANIFEST not in documents:
        return [f"{MANIFEST}: is not there"]
    root = documents[MANIFEST]
    listed = [one.get("href") for one in _all(root, {"file"})]
    found = [f"{MANIFEST}: lists {one}, which is not there" for one in listed if one not in names]
    unlisted = set(names) - set(listed) - {MANIFEST}
    found += [f"{MANIFEST}: does not list {one}" for one in sorted(unlisted)]
    for resource in _all(root, {"resource"}):
        name = resource.get("href")
        if name in documents:
            found += _leans_on(name, documents[name], root, resource)
    return found


def _name(element: Any) -> str:
    tag = element.tag
    return tag.rsplit("}", 1)[-1] if isinstance(tag, str) else ""


def _all(root: Any, names: set[str]) -> list[Any]:
    return [one for one in root.iter() if _name(one) in names]


def _repeated(root: Any, names: set[str]) -> list[str]:
    ids = [one.get("identifier") for one in _all(root, names)]
    return [f"{one} is an identifier twice" for one in sorted({i for i in ids if ids.count(i) > 1})]


def _responses(root: Any) -> dict[str, Any]:
    return {one.get("identifier"): one for one in _all(root, {"qti-response-declaration"})}


def _outcomes(root: Any) -> set[str]:
    return {one.get("identifier") for one in _all(root, {"qti-outcome-declaration"})} | BUILT_IN


def _declared(root: Any) -> list[str]:
    """Every variable that the marking or a feedback names has been declared; SCORE is there."""
    outcomes, responses = _outcomes(root), set(_responses(root))
    found = _repeated(root, {"qti-response-declaration", "qti-outcome-declaration"})
    if "SCORE" not in outcomes:
        found.append("SCORE is not declared")
    for one in root.iter():
        kind, name = _name(one), one.get("identifier")
        if kind == "qti-set-outcome-value" and name not in outcomes:
            found.append(f"outcome {name} is set and not declared")
        elif kind == "qti-variable" and name not in outcomes | responses:
            found.append(f"variable {name} is not declared")
        elif kind in ("qti-correct", "qti-map-response") and name not in responses:
            found.append(f"response {name} is not declared")
        shown = one.get("outcome-identifier")
        if shown is not None and shown not in outcomes:
            found.append(f"feedback hangs on {shown}, which is not declared")
    return found


def _interactions(root: Any) -> list[str]:
    """Every interaction's response is declared and of its kind, and the key among its choices."""
    responses, found = _responses(root), []
    for one in root.iter():
        if not _name(one).endswith("-interaction"):
            continue
        name = one.get("response-identifier")
        if name not in responses:
            found.append(f"response {name} is not declared")
        else:
            found += _fits(one, responses[name]) + _key(one, responses[name])
    return found


def _fits(interaction: Any, declared: Any) -> list[str]:
    kind, name = _name(interaction), declared.get("identifier")
    cardinality, base_type = declared.get("cardinality"), declared.get("base-type")
    cardinalities, base_types = WANTED.get(kind, ((cardinality,), (base_type,)))
    found = []
    if cardinality not in cardinalities:
        found.append(f"{name} is {cardinality}, where {kind} needs {' or '.join(cardinalities)}")
    if base_type not in base_types:
        found.append(f"{name} is of {base_type}, where {kind} needs {' or '.join(base_types)}")
    if interaction.get("max-choices", "1") != "1" and cardinality == "single":
        found.append(f"{name} is single, where several may be chosen")
    return found


def _key(interaction: Any, declared: Any) -> list[str]:
    """Key and mapping name choices that are there; no choice has another's name."""
    ids = [one.get("identifier") for one in _all(interaction, CHOICES)]
    if not ids:
        return []
    found = [f"choice {one} stands twice" for one in sorted({i for i in ids if ids.count(i) > 1})]
    for correct in _all(declared, {"qti-correct-response"}):
        keyed = [(value.text or "").strip() for value in _all(correct, {"qti-value"})]
        found += [f"the key {one} is no choice" for one in keyed if one not in ids]
    mapped = [one.get("map-key") for one in _all(declared, {"qti-map-entry"})]
    return found + [f"the mapping names {one}, no choice" for one in mapped if one not in ids]


def _marking(root: Any) -> list[str]:
    """A template is the standard's own, and what it reads is there."""
    found = []
    for one in _all(root, {"qti-response-processing"}):
        template = one.get("template")
        if template is None:
            continue
        given = _responses(root).get("RESPONSE")
        needs = {"qti-correct-response"} if template == TEMPLATES[0] else {"qti-mapping"}
        needs = {"qti-area-mapping"} if template == TEMPLATES[2] else needs
        if template not in TEMPLATES:
            found.append(f"{template} is no template of the standard")
        elif given is None or not _all(given, needs):
            found.append(f"the template needs {needs.pop()} of RESPONSE")
    return found


def _manifest(root: Any) -> list[str]:
    ids = [one.get("identifier") for one in _all(root, {"resource"})]
    found = _repeated(root, {"resource"})
    for one in _all(root, {"dependency"}):
        if one.get("identifierref") not in ids:
            found.append(f"depends on {one.get('identifierref')}, which is no resource")
    listed = [one.get("href") for one in _all(root, {"file"})]
    found += [
        f"{one} is listed twice" for one in sorted({x for x in listed if listed.count(x) > 1})
    ]
    for resource in _all(root, {"resource"}):
        own = [one.get("href") for one in _all(resource, {"file"})]
        if resource.get("href") is not None and resource.get("href") not in own:
            found.append(f"{resource.get('href')} is not among the files of its resource")
    return found


def _leans_on(name: str, root: Any, manifest: Any, resource: Any) -> list[str]:
    """A test's questions are dependencies, an item's pictures are files of its resource."""
    by_file = {one.get("href"): one.get("identifier") for one in _all(manifest, {"resource"})}
    depends = {one.get("identifierref") for one in _all(resource, {"dependency"})}
    own = {one.get("href") for one in _all(resource, {"file"})}
    found = []
    for one in _all(root, {"qti-assessment-item-ref"}):
        target = _from(name, one.get("href"))
        if by_file.get(target) not in depends:
            found.append(f"{name}: {target} is no dependency of it")
    for one in _all(root, {"img"}):
        target = _from(name, one.get("src"))
        if target not in own:
            found.append(f"{name}: the picture {target} is no file of its resource")
    return found


def _from(name: str, href: str) -> str:
    return normpath(join(dirname(name), href))
