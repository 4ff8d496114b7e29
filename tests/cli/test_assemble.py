"""assemble: the contract's shape, an infeasible blueprint named, wrong input named by its place."""

import json

import pytest

from tests.support import command

HEADING = "family,topic,a,b,floor,critical,seconds,service,enemy_set"
BLUEPRINT = """
items = 6
minutes = 10
cut_share = 0.7
critical_least = 2
[counts]
timings = 4
removal_safety = 2
[services]
fit = { least = 1 }
"""


def lines(timings=12, removal=7):
    made = [("timings", n) for n in range(timings)] + [
        ("removal_safety", n) for n in range(removal)
    ]
    return [
        f"{topic}{n},{topic},{0.8 + n % 5 / 10},{n % 4 / 2 - 1},0.2,{n % 2},60,fit,"
        for topic, n in made
    ]


@pytest.fixture
def run(tmp_path):
    def go(rows, blueprint=BLUEPRINT, forms="2", heading=HEADING):
        bank, asked = tmp_path / "families.csv", tmp_path / "b.toml"
        bank.write_text("\n".join((heading, *rows)) + "\n", encoding="utf-8")
        asked.write_text(blueprint, encoding="utf-8")
        words = ["assemble", "--bank", str(bank), "--blueprint", str(asked), "--forms", forms]
        return command.run(*words)

    return go


def test_two_forms_with_their_information_and_gap(run):
    code, out, _ = run(lines())
    found = json.loads(out)
    assert code == 0
    assert list(found) == ["cut", "forms", "bound", "gap", "moved", "unmet"]
    families = [set(form["families"]) for form in found["forms"]]
    assert [len(one) for one in families] == [6, 6] and not families[0] & families[1]
    assert all(sum("timings" in name for name in one) == 4 for one in families)
    least, most = sorted(form["information"] for form in found["forms"])
    assert most <= least * 1.05 and found["gap"] <= 0.001
    assert found["gap"] == pytest.approx((found["bound"] - least) / found["bound"])


def test_what_the_bank_cannot_give_is_named(run):
    code, out, err = run(lines(removal=3))
    assert code == 1
    assert json.loads(out)["unmet"] == ["removal safety: 4 wanted for 2 forms, 3 there"]
    assert "removal safety: 4 wanted for 2 forms, 3 there" in err
    code, out, err = run(lines(), BLUEPRINT.replace("minutes = 10", "minutes = 5"), "1")
    assert code == 1 and "time: at most 300 seconds allowed, at least 360 seconds" in err


def test_other_headings_are_known(run):
    code, out, _ = run([f"x{n},timings,1,0," for n in range(9)],
        "items = 2\nminutes = 5\ncut_share = 0.6\ncut_ability = 0.25\n[shares]\ntimings = 1.0\n",
        heading="item,content,a,b,enemy")  # fmt: skip
    assert code == 0 and json.loads(out)["cut"] == 0.25


@pytest.mark.parametrize(
    ("rows", "place"),
    [
        (["x,timings,1"], "families.csv, line 2"),
        (["x,timings,one,0,0,0,60,fit,"], "families.csv, line 2, a"),
        (["x,timings,0,0,0,0,60,fit,"], "families.csv, line 2, a"),
        (["x,timings,1,,0,0,60,fit,"], "families.csv, line 2, b"),
        (["x,timings,1,nan,0,0,60,fit,"], "families.csv, line 2, b"),
        (["x,timings,1,0,1,0,60,fit,"], "families.csv, line 2, floor"),
        (["x,timings,1,0,0,maybe,60,fit,"], "families.csv, line 2, critical"),
        (["x,,1,0,0,0,60,fit,"], "families.csv, line 2, topic"),
        (["x,timings,1,0,0,0,60,fit,"] * 2, "families.csv, line 3, family"),
        (['x,"timings,1,0,0,0,60,fit,'], "families.csv, line"),
        ([], "families.csv"),
    ],
)
def test_a_wrong_table_is_named_by_line_and_column(run, rows, place):
    code, out, err = run(rows)
    assert (code, out) == (2, "") and place in err


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (("items = 6", "items = 0"), "b.toml, items"),
        (("items = 6", "items = "), "b.toml"),
        (("cut_share = 0.7", "cut_share = 0.1"), "b.toml, cut_share"),
        (("timings = 4", "timings = 5"), "b.toml, counts"),
        (("least = 1", "lest = 1"), "b.toml, services.fit"),
        (("minutes = 10", "minutes = 10\nhours = 1"), "b.toml, hours"),
        (("minutes = 10", "minutes = 10\nrequired = 3"), "b.toml, required"),
        (("minutes = 10", "minutes = 10\ntypes = 3"), "b.toml, types"),
    ],
)
def test_a_wrong_blueprint_is_named_by_its_field(run, change, place):
    code, out, err = run(lines(), BLUEPRINT.replace(*change))
    assert (code, out) == (2, "") and place in err


def test_a_table_without_a_needed_column(run):
    code, _, err = run(["x,1,0"], heading="family,a,b")
    assert code == 2 and "no column topic" in err


def test_a_missing_file_is_named():
    code, _, err = command.run("assemble", "--bank", "not-there.csv", "--blueprint", "b.toml")
    assert code == 2 and "not-there.csv" in err
