"""What the page of a question says while it saves by itself."""

from tests.support.site import visiting

PAGE = """
<form data-autosave action="{address}/kept"><label>Grams <input name="value"></label>
<input type="hidden" name="submission_id"></form>
<p data-saved></p><script type="module" src="{address}/static/sitting.js"></script>
"""


def test_an_answer_that_is_emptied_again_is_not_said_to_be_saving(site, browser):
    with visiting(browser, 390) as page:
        asked = []

        def keep(route):
            asked.append(route.request.post_data)
            route.fulfill(json={})

        page.route("**/kept", keep)
        page.route("**/form", lambda route: route.fulfill(body=html, content_type="text/html"))
        html = PAGE.format(address=site.address)
        page.goto(f"{site.address}/form")
        page.get_by_label("Grams").fill("5")
        page.get_by_text("Saved. You can still change it.").wait_for()
        page.get_by_label("Grams").fill("")
        page.get_by_text("Not saved: the answer is not complete.").wait_for()
        page.get_by_label("Grams").fill("6")
        page.get_by_text("Saved. You can still change it.").wait_for()
        assert len(asked) == 2
