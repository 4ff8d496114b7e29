"""What each member of the shapes that we issue states: predicate, and kind of value.

Taken from the two pinned contexts; `canonical` writes statements from these tables alone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

RDF_TYPE = "http://www.w3.org/1999/02/22-rdf-syntax-ns#type"
XSD = "http://www.w3.org/2001/XMLSchema#"
BOOLEAN = "https://www.w3.org/2001/XMLSchema#boolean"  # so, with s, in the Open Badges context
ADDRESS = "https://www.w3.org/2001/XMLSchema#anyURI"
OB = "https://purl.imsglobal.org/spec/vc/ob/vocab.html#"
VC = "https://www.w3.org/2018/credentials#"
STATUS = "https://www.w3.org/ns/credentials/status#"
SEC = "https://w3id.org/security#"
SCHEMA = "https://schema.org/"

TEXT, LINK, FLAG, PURPOSE = "text", "link", "flag", "purpose"
TIME = f"{XSD}dateTime"
PURPOSES = {"assertionMethod": f"{SEC}assertionMethod"}


@dataclass(frozen=True)
class Member:
    """One member: its predicate; TEXT, LINK, FLAG, PURPOSE or a datatype; or a node."""

    predicate: str
    kind: str = TEXT
    many: bool = False
    node: "Node | None" = None


@dataclass(frozen=True)
class Node:
    """One object: its `type` exactly as issued (None: it has none), and its members.

    `named` nodes must carry an id; the others must not.
    """

    type: str | list[str] | None
    type_iris: tuple[str, ...]
    named: bool
    members: Mapping[str, Member] = field(default_factory=dict)
    known: frozenset[str] = field(init=False)
    at_top: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        """Note which members may stand in it, as a part and as the whole document."""
        extra = {"id"} if self.named else set()
        extra |= {"type"} if self.type is not None else set()
        object.__setattr__(self, "known", frozenset(self.members) | extra)
        object.__setattr__(self, "at_top", self.known | {"@context"})


def _one(predicate: str, node: Node) -> Member:
    return Member(predicate, node=node)


def _many(predicate: str, node: Node) -> Member:
    return Member(predicate, many=True, node=node)


NAME, ABOUT = Member(f"{SCHEMA}name"), Member(f"{SCHEMA}description")

ISSUER = Node(
    ["Profile"],
    (f"{OB}Profile",),
    True,
    {"name": NAME, "url": Member(f"{SCHEMA}url", ADDRESS)},
)
IDENTITY = Node(
    "IdentityObject",
    (f"{OB}IdentityObject",),
    False,
    {
        "hashed": Member(f"{OB}hashed", FLAG),
        "identityHash": Member(f"{OB}identityHash"),
        "identityType": Member(f"{OB}identityType"),
        "salt": Member(f"{OB}salt"),
    },
)
RESULT_DESCRIPTION = Node(
    ["ResultDescription"],
    (f"{OB}ResultDescription",),
    True,
    {
        "name": NAME,
        "resultType": Member(f"{OB}resultType"),
        "valueMin": Member(f"{OB}valueMin"),
        "valueMax": Member(f"{OB}valueMax"),
        "requiredValue": Member(f"{OB}requiredValue"),
    },
)
RESULT = Node(
    ["Result"],
    (f"{OB}Result",),
    False,
    {
        "resultDescription": Member(f"{OB}resultDescription", ADDRESS),
        "value": Member(f"{SCHEMA}value"),
    },
)
ALIGNMENT = Node(
    ["Alignment"],
    (f"{SCHEMA}AlignmentObject",),
    False,
    {
        "targetName": Member(f"{SCHEMA}targetName"),
        "targetUrl": Member(f"{SCHEMA}targetUrl", ADDRESS),
        "targetCode": Member(f"{OB}targetCode"),
        "targetFramework": Member(f"{SCHEMA}targetFramework"),
    },
)
CRITERIA = Node(None, (), False, {"narrative": Member(f"{OB}narrative")})
ACHIEVEMENT = Node(
    ["Achievement"],
    (f"{OB}Achievement",),
    True,
    {
        "achievementType": Member(f"{OB}achievementType"),
        "name": NAME,
        "humanCode": Member(f"{OB}humanCode"),
        "tag": Member(f"{SCHEMA}keywords", many=True),
        "description": ABOUT,
        "criteria": _one(f"{OB}Criteria", CRITERIA),
        "alignment": _many(f"{OB}alignment", ALIGNMENT),
        "resultDescription": _many(f"{OB}resultDescription", RESULT_DESCRIPTION),
    },
)
SUBJECT = Node(
    ["AchievementSubject"],
    (f"{OB}AchievementSubject",),
    True,
    {
        "identifier": _many(f"{OB}identifier", IDENTITY),
        "achievement": _one(f"{OB}achievement", ACHIEVEMENT),
        "result": _many(f"{OB}result", RESULT),
    },
)
EVIDENCE = Node(
    ["Evidence"],
    (f"{OB}Evidence",),
    False,
    {
        "name": NAME,
        "genre": Member(f"{SCHEMA}genre"),
        "narrative": Member(f"{OB}narrative"),
    },
)
STATUS_ENTRY = Node(
    "BitstringStatusListEntry",
    (f"{STATUS}BitstringStatusListEntry",),
    True,
    {
        "statusPurpose": Member(f"{STATUS}statusPurpose"),
        "statusListIndex": Member(f"{STATUS}statusListIndex"),
        "statusListCredential": Member(f"{STATUS}statusListCredential", LINK),
    },
)
WINDOW = {
    "validFrom": Member(f"{VC}validFrom", TIME),
    "validUntil": Member(f"{VC}validUntil", TIME),
}
RECORD = Node(
    ["VerifiableCredential", "OpenBadgeCredential"],
    (f"{VC}VerifiableCredential", f"{OB}OpenBadgeCredential"),
    True,
    {
        **WINDOW,
        "name": NAME,
        "description": ABOUT,
        "issuer": _one(f"{VC}issuer", ISSUER),
        "credentialSubject": _one(f"{VC}credentialSubject", SUBJECT),
        "evidence": _many(f"{VC}evidence", EVIDENCE),
        "credentialStatus": _one(f"{VC}credentialStatus", STATUS_ENTRY),
    },
)
LIST_SUBJECT = Node(
    "BitstringStatusList",
    (f"{STATUS}BitstringStatusList",),
    True,
    {
        "statusPurpose": Member(f"{STATUS}statusPurpose"),
        "encodedList": Member(f"{STATUS}encodedList", f"{SEC}multibase"),
    },
)
STATUS_LIST = Node(
    ["VerifiableCredential", "BitstringStatusListCredential"],
    (f"{VC}VerifiableCredential", f"{STATUS}BitstringStatusListCredential"),
    True,
    {
        **WINDOW,
        "issuer": Member(f"{VC}issuer", LINK),
        "credentialSubject": _one(f"{VC}credentialSubject", LIST_SUBJECT),
    },
)
PROOF = Node(
    "DataIntegrityProof",
    (f"{SEC}DataIntegrityProof",),
    False,
    {
        "created": Member("http://purl.org/dc/terms/created", TIME),
        "cryptosuite": Member(f"{SEC}cryptosuite", f"{SEC}cryptosuiteString"),
        "proofPurpose": Member(f"{SEC}proofPurpose", PURPOSE),
        "verificationMethod": Member(f"{SEC}verificationMethod", LINK),
    },
)
