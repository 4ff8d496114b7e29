"""One journey through everything: from an assigned module to a record that anyone can check."""

import json
import re

import pytest
from click.testing import CliRunner

from tests.support.letting_in import open_for, sign_and_ask
from tests.support.people import NOW, PASSWORD, a_person, an_organisation
from tests.support.site import answer_on_page, press, visiting
from trainer import clock
from trainer.cli.verify import command as verify
from trainer.core.items.codec import from_kept
from trainer.store import people, practice, sittings
from trainer.use_cases import keep_people

METHOD = "tape_in"


@pytest.fixture
def cast(site):
    """An academy and a salon; the apprentice belongs to both."""
    academy, salon = (
        an_organisation(site.work, name, kind)
        for name, kind in (("Marsh Row Academy", "academy"), ("The Open Comb", "salon"))
    )
    boss = a_person(site.work, "instructor", organisation=academy, name="Ines Varga")
    learner = a_person(site.work, "apprentice", organisation=academy, name="Mina Torvald")
    desk = a_person(site.work, "salon_manager", organisation=salon, name="Rosa Pine")
    with site.work.writing(boss.viewer) as unit:
        keep_people.join(unit, learner.id, salon, ["apprentice"], NOW)
        group = keep_people.make_group(unit, "Tuesday group")
        people.set_groups(unit, learner.id, [group])
    return boss, learner, desk


def test_from_module_to_record(site, cast, browser, tmp_path):
    boss, learner, desk = cast
    assign(site, browser, boss)
    practise(site, browser, learner)
    assert "Not cleared" in clearance(site, browser, desk, learner)
    let_in(site, browser, boss, learner)
    sit(site, browser, learner)
    for service in ("fit", "maintain", "remove"):
        sign(site, browser, boss, learner, service)
    assert re.search(r"\bCleared\b", clearance(site, browser, desk, learner))
    record, key, status = collect(site, browser, learner, tmp_path)
    check_offline(record, key, status, tmp_path)


def assign(site, browser, boss):
    with visiting(browser) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/modules/new")
        page.locator(f'input[name="methods"][value="{METHOD}"]').check()
        page.locator('input[name="topics"][value="removal_safety"]').check()
        page.locator('input[name="topics"][value="contraindications"]').check()
        page.get_by_label("How many scenarios").fill("5")
        page.get_by_label("It must be done before").check()
        page.locator('input[name="groups"]').first.check()
        press(page.get_by_role("button", name="Assign it"))
        assert page.get_by_text("Mina Torvald").count()


def practise(site, browser, learner):
    """Five scenarios from 'do now'; one of them wrong on purpose. The module is done."""
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        assert page.get_by_text("Your instructor asked for this").count()
        press(page.get_by_role("button", name="Start"))
        for number in range(5):
            item_id = page.url.rsplit("/", 1)[1]
            with site.work.reading(learner.viewer) as unit:
                item = from_kept(practice.shown(unit, item_id).kept)
            assert item.explanation not in page.content()
            answer_on_page(page, item, right=number != 1)
            press(page.get_by_role("button", name="Answer"))
            marked = page.locator("main").inner_text()
            assert ("Right" in marked) is (number != 1) or "Not right" in marked
            assert " ".join(item.explanation.split()[:5]) in " ".join(marked.split())
            press(page.get_by_role("button", name="Next scenario"))


def let_in(site, browser, boss, learner):
    """The module is done, so the apprentice may ask; the instructor sees who it is, and opens."""
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        sign_and_ask(site, page, METHOD)
    with visiting(browser) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/cohort")
        assert page.get_by_text("1 person waits").count()
        open_for(site, page, "Mina Torvald")


def sit(site, browser, learner):
    """Half the assessment in one tab, the rest in another browser: nothing is lost."""
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/assessments/{METHOD}")
        press(page.get_by_role("button", name=re.compile("Begin|Start")).first)
        page.wait_for_url("**/sittings/**")
        sitting_id = page.url.split("/sittings/")[1].split("/")[0]
        last = answer_from(site, page, learner, sitting_id, 1, 20)
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/sittings/{sitting_id}")
        assert page.get_by_role("heading", name=f"Question {last + 1} of 40").count()
        answer_from(site, page, learner, sitting_id, last + 1, 40)
        page.goto(f"{site.address}/sittings/{sitting_id}/finish")
        press(page.get_by_role("button", name=re.compile("Finish", re.I)))
        page.wait_for_url("**/result")
        assert "passed" in page.locator("main").inner_text().lower()


def answer_from(site, page, learner, sitting_id, first, last):
    for number in range(first, last + 1):
        page.goto(f"{site.address}/sittings/{sitting_id}/{number}")
        with site.work.reading(learner.viewer) as unit:
            item = from_kept(sittings.item(unit, sitting_id, number).kept)
        assert item.explanation not in page.content()
        answer_on_page(page, item)
        press(page.get_by_role("button", name=re.compile("^Keep")))
    return last


def sign(site, browser, boss, learner, service):
    with visiting(browser) as page:
        site.sign_in(page, boss.email)
        page.goto(f"{site.address}/observations/{learner.id}/{METHOD}/{service}")
        for box in page.locator('input[name="met"]').all():
            box.check()
        page.get_by_label("Your password").fill(PASSWORD)
        press(page.get_by_role("button", name=re.compile("Sign", re.I)))
        assert "met" in page.locator("main").inner_text().lower()


def clearance(site, browser, desk, learner):
    with visiting(browser, 1280) as page:
        site.sign_in(page, desk.email)
        page.goto(f"{site.address}/clearance?q=to")
        page.get_by_text("Mina Torvald").first.wait_for()
        asked = f"person={learner.id}&method={METHOD}&service=fit&on={clock.today()}"
        page.goto(f"{site.address}/clearance?{asked}")
        said = page.locator("main").inner_text()
    assert "consultation" in said.lower()
    return said


def collect(site, browser, learner, folder):
    """What a stranger gets: the public page, the record, the issuer's key and status list."""
    with visiting(browser) as page:
        site.sign_in(page, learner.email)
        page.goto(f"{site.address}/records")
        public = page.locator('a[href*="/check/"]').first.get_attribute("href")
    with visiting(browser) as page:
        page.goto(f"{site.address}/check/{public.rsplit('/check/', 1)[1]}")
        said = page.locator("main").inner_text()
        assert "Valid" in said or "valid" in said
        assert "Mina Torvald" in said
        file = page.locator('a[href$=".json"]').first.get_attribute("href")
        record = page.request.get(f"{site.address}{file}").text()
        issuer = json.loads(record)["credentialStatus"]["statusListCredential"].rsplit("/", 1)[0]
        path = issuer.split("/issuers/")[1]
        key = page.request.get(f"{site.address}/issuers/{path}/key.json").text()
        status = page.request.get(f"{site.address}/issuers/{path}/status").text()
    (folder / "key.json").write_text(key)
    (folder / "status.json").write_text(status)
    return record, folder / "key.json", folder / "status.json"


def verified(text, key, status, folder):
    (folder / "record.json").write_text(text)
    words = [str(folder / "record.json"), "--issuer-key", str(key), "--status-list", str(status)]
    found = CliRunner().invoke(verify, words)
    return found.exit_code, json.loads(found.stdout)["valid"]


def check_offline(text, key, status, folder):
    assert verified(text, key, status, folder) == (0, True)
    for path in members(json.loads(text)):
        changed = json.loads(text)
        where = changed
        for step in path[:-1]:
            where = where[step]
        value = where[path[-1]]
        where[path[-1]] = f"{value} " if isinstance(value, str) else "changed"
        assert verified(json.dumps(changed), key, status, folder)[1] is False, path


def members(value, path=()):
    """The path of every leaf of a record."""
    if isinstance(value, dict):
        for name, one in value.items():
            yield from members(one, (*path, name))
    elif isinstance(value, list):
        for place, one in enumerate(value):
            yield from members(one, (*path, place))
    else:
        yield path
