"""The team on screen: picture, table, filters, gaps, days, file."""

from tests.support.people import a_person


def test_picture_table_and_filters(visit, desk, stylist):
    page = visit(desk)
    html = page.get("/team")
    for said in ("Noor Haddad", "Records that end, by month", "How many can do it"):
        assert said in html
    assert '<span class="hidden-words">Cleared</span>' in html
    html = page.get("/team?view=table&method=tape_in&service=fit")
    assert html.count('<td data-label="Standing">') == 1 and "competent" in html
    assert "Nobody fits" in page.get("/team?word=withdrawn")
    assert "Nobody fits" in page.get("/team?ends=180")
    assert "Noor Haddad" in page.get("/team?word=glue")
    assert "Noor Haddad" in page.get("/team?q=noo&ends=whenever")


def test_gaps_days_and_the_file(visit, desk, stylist):
    page = visit(desk)
    assert "Methods that nobody here fits" in page.get("/team/gaps")
    assert "(not set)" in page.get("/team/days")
    sent = {"person": stylist.id, f"days-{stylist.id}": ["0", "4"]}
    html = page.post("/team/days", sent)
    assert html.count("checked") == 2 and "(not set)" not in html
    answer = page.client.get("/team.csv?method=tape_in&service=remove")
    assert answer.mimetype == "text/csv" and "attachment" in answer.headers["Content-Disposition"]
    assert answer.get_data(as_text=True).splitlines()[1].startswith("Noor Haddad,tape_in,remove,")
    assert answer.get_data().startswith(b"\xef\xbb\xbfname,"), "accents need the mark of UTF-8"


def test_another_house_sees_and_sets_nothing(visit, sqlite_work, desk, stylist):
    other = visit(a_person(sqlite_work, "salon_manager"))
    assert "Noor Haddad" not in other.get("/team")
    sent = {"person": stylist.id, f"days-{stylist.id}": ["0"]}
    other.post("/team/days", sent, 404)
    assert "Noor" not in other.client.get("/team.csv").get_data(as_text=True)
    instructor = visit(a_person(sqlite_work, "instructor", organisation=desk.organisation))
    assert "A salon manager sets them" in instructor.get("/team/days")
    instructor.post("/team/days", sent, 403)
