"""The whole site on a port of this machine: the real server, forms with their tokens, SQLite."""

import threading
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass

from waitress.server import create_server

from tests.support.browser import SLOWEST
from tests.support.people import PASSWORD, PASSWORDS
from trainer.core.items.types.put_in_order import one_right_order
from trainer.settings import Settings
from trainer.use_cases.work import Work
from trainer.web.app import create_app


@dataclass
class Site:
    """A running site: where it is, and its database."""

    address: str
    work: Work
    settings: Settings

    def sign_in(self, page, email, password=PASSWORD):
        """Sign in by the form, as people do."""
        page.goto(f"{self.address}/sign-in")
        page.get_by_label("E-mail address").fill(email)
        page.get_by_label("Password").fill(password)
        press(page.get_by_role("button", name="Sign in"))
        page.wait_for_url(lambda url: "/sign-in" not in url)


PAUSE = 0.1  # seconds between the two pieces of a page


class InTwoPieces:
    """A server around a site that sends each page in two pieces, as a slow line does.

    Whoever reads a page before it is whole finds nothing, each time and not only on a busy day.
    """

    def __init__(self, site):
        """Stand before a WSGI application."""
        self.site = site

    def __call__(self, environ, start_response):
        """The same answer, its main part a little later."""
        answer = self.site(environ, start_response)
        try:
            for piece in answer:
                head, mark, rest = piece.partition(b"<main")
                yield head
                if mark:
                    time.sleep(PAUSE)
                    yield mark + rest
        finally:
            if hasattr(answer, "close"):
                answer.close()


@contextmanager
def running_site(folder, **more):
    """A site on an empty database in a folder; `more` are settings."""
    (folder / "keys").mkdir(exist_ok=True)
    settings = Settings(folder, secret_key="only for tests", **more)
    work = Work(settings.database, settings.instance)
    work.prepare()
    site = InTwoPieces(create_app(settings, work, PASSWORDS))
    server = create_server(site, host="127.0.0.1", port=0)

    def run():
        with suppress(OSError):  # closing the server pulls the sockets away under its loop
            server.run()

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    try:
        yield Site(f"http://127.0.0.1:{server.effective_port}", work, settings)
    finally:
        server.close()
        thread.join(5)
        work.close()


@contextmanager
def visiting(browser, width=390, quiet=(), **more):
    """A page of its own context: cookies are nobody else's.

    Problems in the console fail, but those that hold one of the `quiet` words.
    """
    context = browser.new_context(viewport={"width": width, "height": 844}, **more)
    context.set_default_timeout(SLOWEST)
    page = context.new_page()
    problems = []
    page.on("console", lambda said: problems.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda problem: problems.append(str(problem)))
    try:
        yield page
        assert [one for one in problems if not any(word in one for word in quiet)] == []
    finally:
        context.close()


def press(what):
    """Press a link or button, and wait for the page that it leads to until that page is whole."""
    what.click()  # waits no longer than to the first bytes of the next page
    what.page.wait_for_load_state()


def enter(page):
    """Press Enter where the keyboard is, and wait for the page that it leads to."""
    with page.expect_navigation():
        page.keyboard.press("Enter")


def answer_on_page(page, item, right=True):
    """Give an answer through the page's own inputs."""
    kind = item.heading.type
    if kind in ("choose_one", "choose_all", "point_at_figure"):
        other = [o.id for o in item.options if o.id not in item.key][:1]
        for letter in item.key if right else other:
            page.locator(f'input[name="choice"][value="{letter}"]').check()
        if kind == "choose_all":
            for letter in {o.id for o in item.options} - set(item.key if right else other):
                page.locator(f'input[name="choice"][value="{letter}"]').uncheck()
    elif kind == "put_in_order":
        _place(page, item, right)
    elif kind == "number":
        page.locator('input[name="value"]').fill(f"{item.key['value'] + (0 if right else 5000):g}")
    else:
        first = item.key if isinstance(item.key, str) else item.key["first"]
        page.locator('input[name="date"]').fill(first if right else "2020-01-01")


def _place(page, item, right):
    """With script by the buttons, without by the numbers."""
    order = one_right_order(item) if right else one_right_order(item)[::-1]
    if page.locator(".moves").count():
        _move(page, item, order)
        return
    for option in item.options:
        place = str(order.index(option.id) + 1) if option.id in order else "out"
        page.locator(f'select[name="place_{option.id}"]').select_option(place)


def _move(page, item, order):
    def row(letter):
        return page.locator(".order > li", has=page.locator(f'select[name="place_{letter}"]'))

    for option in item.options:
        out = row(option.id).get_by_role("button", name="Leave out:")
        if option.id not in order and out.count():
            press(out)
    for place, letter in enumerate(order, 1):
        while int(row(letter).locator(".step-number").inner_text().rstrip(".")) > place:
            press(row(letter).get_by_role("button", name="Up:"))
