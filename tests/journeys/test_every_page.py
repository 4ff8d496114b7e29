"""Every page at phone and desktop width: WCAG 2.2 AA rules, no sideways scroll, no error."""

from importlib.resources import files
from urllib.parse import urlsplit

import pytest

from tests.support.site import visiting
from trainer.use_cases.demo_cast import PASSWORD, address_of

AXE = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
RUN = """
axe.run({runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]}).then(found =>
  found.violations.map(one => `${one.id}: ${one.nodes[0].html.slice(0, 160)}`))
"""
MOST_PAGES = 30
ALIKE = 2
"""Pages of one shape (the same path but for ids) that are looked at."""

STARTS = {
    "Mina Torvald": [
        "/practice",
        "/assessments",
        "/competency",
        "/records",
        "/endings/mine",
        "/offers",
        "/me",
    ],
    "Saskia Lindqvist": ["/top-ups", "/records", "/assessments"],
    "Ottoline Brask": [
        "/cohort",
        "/admissions",
        "/modules",
        "/question-sets",
        "/rosters",
        "/programs",
        "/programs/guide",
        "/programs/statements",
        "/results",
        "/observations",
        "/people",
        "/records/issued",
        "/endings",
        "/observations/two",
        "/other-evidence",
        "/methods/audit",
        "/methods/answers",
        "/methods/answers/groups",
        "/standards",
    ],
    "Rosalind Achebe": [
        "/changes",
        "/team",
        "/clearance",
        "/endings",
        "/people",
        "/week",
        "/week/rules",
        "/week/address",
        "/elsewhere",
        "/elsewhere/issuers",
    ],
    "": ["/sign-in", "/check", "/help", "/forgotten", "/nothing-here"],
}


def shape(path):
    return "/".join("*" if len(part) > 20 or part.isdigit() else part for part in path.split("/"))


def links(page, address):
    found = page.eval_on_selector_all("a[href]", "all => all.map(one => one.href)")
    parts = [urlsplit(one) for one in found if one.startswith(address)]
    return [one.path + (f"?{one.query}" if one.query else "") for one in parts]


def faults(page):
    page.evaluate(AXE)
    found = page.evaluate(RUN)
    root = "document.documentElement"
    if page.evaluate(f"{root}.scrollWidth > {root}.clientWidth"):
        found.append("scrolls sideways")
    return found


def walk(page, address, starts):
    """Pages reachable by links, at most a few of each shape."""
    waiting, seen, shapes = list(starts), set(), {}
    while waiting and len(seen) < MOST_PAGES:
        path = waiting.pop(0)
        kind = shape(urlsplit(path).path)
        if (
            path in seen
            or shapes.get(kind, 0) >= ALIKE
            or path.endswith((".json", ".pdf", ".ics", ".csv", "/status"))
        ):
            continue
        seen.add(path)
        shapes[kind] = shapes.get(kind, 0) + 1
        page.goto(address + path)
        yield path
        waiting += links(page, address)


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", STARTS)
def test_every_page_is_for_everybody(demo_site, browser, name, width):
    found = {}
    with visiting(browser, width, quiet=("404",)) as page:
        if name:
            demo_site.sign_in(page, address_of(name), PASSWORD)
        for path in walk(page, demo_site.address, STARTS[name]):
            problems = faults(page)
            if problems:
                found[path] = problems
    assert found == {}


def test_a_page_with_faults_is_found_out(demo_site, browser):
    with visiting(browser, quiet=("Failed to load",)) as page:
        page.goto(f"{demo_site.address}/help")
        page.evaluate("document.querySelector('main').innerHTML = '<input><img src=\"/x\">'")
        assert any(one.startswith("label") for one in faults(page))


@pytest.mark.parametrize("scheme", ["dark", "light"])
def test_contrast_holds_in_both_schemes(demo_site, browser, scheme):
    with visiting(browser, 390, color_scheme=scheme) as page:
        demo_site.sign_in(page, address_of("Ottoline Brask"), PASSWORD)
        for path in ("/cohort", "/modules", "/people"):
            page.goto(demo_site.address + path)
            assert faults(page) == []
