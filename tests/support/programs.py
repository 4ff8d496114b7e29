"""A program that asks the service for other programs, as such programs do."""

from dataclasses import dataclass
from typing import Any

from tests.support.people import Someone
from trainer import clock
from trainer.use_cases import keep_access
from trainer.use_cases.work import Work


def a_code(work: Work, whose: Someone, purpose: str) -> str:
    with work.writing(whose.viewer) as unit:
        return keep_access.make(unit, purpose, "Booking calendar", clock.now())


@dataclass
class Program:
    """Asks with one access code."""

    client: Any
    code: str

    def ask(self, path, verb="get", body=None, kind="application/json", headers=(), **asked):
        sent = {"Authorization": f"Bearer {self.code}", **dict(headers)}
        verb = "post" if body is not None else verb
        more = {"data": body, "content_type": kind} if body is not None else {}
        call = getattr(self.client, verb)
        return call(f"/api/v1{path}", query_string=asked, headers=sent, **more)

    def get(self, path, **asked):
        answer = self.ask(path, **asked)
        assert answer.status_code == 200, answer.get_data(as_text=True)
        return answer.get_json()

    def post(self, path, said):
        answer = self.client.post(
            f"/api/v1{path}", json=said, headers={"Authorization": f"Bearer {self.code}"}
        )
        assert answer.status_code == 200, answer.get_data(as_text=True)
        return answer.get_json()

    def refused(self, path, status, **sent):
        """The problem report, checked for what RFC 9457 says of its members."""
        answer = self.ask(path, **sent)
        assert answer.status_code == status, answer.get_data(as_text=True)
        assert answer.mimetype == "application/problem+json"
        said = answer.get_json()
        assert said["status"] == status
        assert all(isinstance(said[one], str) and said[one] for one in ("type", "title", "detail"))
        return said
