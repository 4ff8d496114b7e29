"""NUL in what a visitor sends: taken out before a database is asked, which may refuse it."""

from tests.conftest import Visit
from tests.support.people import PASSWORDS, a_person
from trainer.web.app import create_app
from trainer.web.plain_text import PlainRequest


def test_neither_address_nor_form_holds_nul():
    query = {"q": ["a\0b", "c"]}
    asked = PlainRequest.from_values(query_string=query, data={"na\0me": "N\0ell"}, method="POST")
    assert asked.form.to_dict(flat=False) == {"name": ["Nell"]}
    assert asked.args.to_dict(flat=False) == {"q": ["ab", "c"]}


def test_a_search_for_nul_is_a_search(settings, work):
    app = create_app(settings, work, PASSWORDS)
    app.config.update(TESTING=True, WTF_CSRF_ENABLED=False)
    here = Visit(app.test_client(), a_person(work, "salon_manager", "apprentice", name="Ada Quill"))
    assert "Ada Quill" in here.get("/team?view=table&q=qu%00i")
    assert "Nobody here" in here.get("/clearance?q=x%00y")
