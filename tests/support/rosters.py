"""OneRoster sets for tests, as a roster program would write them."""

import csv
import io
from zipfile import ZIP_DEFLATED, ZipFile

from trainer.core.exchange.oneroster_tables import binding

ORG = {"sourcedId": "o1", "name": "Invented Academy", "type": "school"}


def user(number, name="", **more):
    given, _, family = (name or f"Person Number{number}").partition(" ")
    email = f"u{number}@roster.example"
    return {
        "sourcedId": f"u{number}",
        "enabledUser": "true",
        "username": email,
        "givenName": given,
        "familyName": family,
        "email": email,
    } | more


def role(number, word="student", **more):
    return {
        "sourcedId": f"r{number}-{word}",
        "userSourcedId": f"u{number}",
        "roleType": "primary",
        "role": word,
        "orgSourcedId": "o1",
    } | more


def group(name, number=1):
    return {
        "sourcedId": f"c{number}",
        "title": name,
        "courseSourcedId": "k1",
        "classType": "scheduled",
        "schoolSourcedId": "o1",
        "termSourcedIds": "t1",
    }


def enrolment(number, of="c1", **more):
    return {
        "sourcedId": f"e{number}-{of}",
        "classSourcedId": of,
        "schoolSourcedId": "o1",
        "userSourcedId": f"u{number}",
        "role": "student",
    } | more


def text(name, rows):
    header = binding()["tables"][name]["header"]
    written = io.StringIO(newline="")
    writer = csv.DictWriter(written, header)
    writer.writeheader()
    writer.writerows(rows)
    return written.getvalue()


def manifest(ways):
    lines = {"manifest.version": "1.0", "oneroster.version": "1.2"}
    lines |= {f"file.{name.removesuffix('.csv')}": way for name, way in ways.items()}
    return text("manifest.csv", [{"propertyName": k, "value": v} for k, v in lines.items()])


def packed(texts):
    """A zip of texts or bytes by name."""
    whole = io.BytesIO()
    with ZipFile(whole, "w", ZIP_DEFLATED) as archive:
        for name, content in texts.items():
            archive.writestr(name, content)
    return whole.getvalue()


def a_set(ways=None, **tables):
    """A set of these tables; bulk where `ways` says nothing else. orgs=True for the one above."""
    rows = {f"{name}.csv": some for name, some in tables.items()}
    given = dict.fromkeys(rows, "bulk") | (ways or {})
    texts = {"manifest.csv": manifest(given)} | {n: text(n, some) for n, some in rows.items()}
    return packed(texts)


def an_academy(users, roles, **more):
    return a_set(orgs=[ORG], users=users, roles=roles, **more)
