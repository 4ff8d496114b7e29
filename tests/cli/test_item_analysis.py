"""`trainer item-analysis` as people and programs call it."""

import json

import pytest
from scipy.stats import chi2

from tests.support import command
from tests.support.references import complete, expected, rows_of


def run(*words):
    return command.run("item-analysis", *words)


def written(folder, name):
    """A published data set as a table of responses, and who is in which group."""
    items, values = complete(name)
    first = 1 if items[0] == "group" else 0
    lines = [",".join(["person", *items[first:]])]
    lines += [
        ",".join([f"p{n}", *(f"{v:.0f}" for v in row[first:])]) for n, row in enumerate(values)
    ]
    (folder / "r.csv").write_text(
        "\n".join([*lines, f"gap,1{',' * (len(items) - first - 1)}"]) + "\n"
    )
    groups = [f"p{n},{row[0]:.0f}" for n, row in enumerate(values)]
    (folder / "g.csv").write_text("\n".join(["person,group", *groups]))
    return str(folder / "r.csv"), str(folder / "g.csv")


def test_what_was_asked_for_comes_out_right(tmp_path):
    code, out, err = run(written(tmp_path, "lsat6")[0])
    said = json.loads(out)
    assert (code, err, said["n"], said["people"]) == (0, "", 1000, 1001)
    wanted = {(row.quantity, row.key): row for row in expected("lsat6_classical")}
    assert said["alpha"] == pytest.approx(wanted["alpha", ""].value, abs=1e-8)
    assert said["sem"] == pytest.approx(wanted["sem", "sd*sqrt(1-alpha)"].value, abs=1e-8)
    for row in said["items"]:
        assert row["p"] == pytest.approx(wanted["p_value", row["item"]].value, abs=1e-9)
        rest = wanted["point_biserial_rest", row["item"]].value
        assert row["r_rest"] == pytest.approx(rest, abs=1e-8)
        assert row["mh_alpha"] is row["mh_delta"] is row["mh_chi2"] is None


def test_groups_are_compared(tmp_path):
    responses, groups = written(tmp_path, "verbal24")
    code, out, _ = run(responses, "--group", groups)
    said = json.loads(out)
    assert code == 0
    assert said["groups"]["reference"]["group"] == "0"
    assert said["groups"]["focal"]["n"] == sum(row["group"] == "1" for row in rows_of("verbal24"))
    wanted = {(row.quantity, row.key): row.value for row in expected("verbal24_dif")}
    for row in said["items"]:
        assert row["mh_alpha"] == pytest.approx(wanted["mh_odds_ratio", row["item"]], abs=1e-8)
        assert row["mh_delta"] == pytest.approx(wanted["mh_delta", row["item"]], abs=1e-8)
        assert row["mh_chi2"] == pytest.approx(wanted["mh_chisq_corrected", row["item"]], abs=1e-8)
        assert row["mh_class"] in "ABC"
        both = wanted["lr_both_chisq_2df", row["item"]]
        assert row["lr_p"] == pytest.approx(chi2.sf(both, 2), rel=1e-4)


def test_what_cannot_be_said_is_null(tmp_path):
    (tmp_path / "r.csv").write_text("person,q1,q2\na,1,1\nb,1,1\n")
    said = json.loads(run(str(tmp_path / "r.csv"))[1])
    assert said["alpha"] is None
    assert said["items"][0]["r_rest"] is None


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("person,q1,q2\na,1,x\n", "r.csv, line 2, column q2"),
        ("person,q1,q2\na,1,1\nb,,0\n", "has 1 person"),
        ("person,q1\na,1\nb,0\n", "one item"),
        ("", "r.csv, line 1"),
    ],
)
def test_wrong_input_ends_with_two_and_names_the_place(tmp_path, text, named):
    (tmp_path / "r.csv").write_text(text)
    code, out, err = run(str(tmp_path / "r.csv"))
    assert (code, out) == (2, "")
    assert named in err


def test_a_missing_file_and_a_missing_person_are_named(tmp_path):
    responses, groups = written(tmp_path, "verbal24")
    code, _, err = run(responses, "--group", "nowhere.csv")
    assert code == 2 and "nowhere.csv" in err
    (tmp_path / "g.csv").write_text("person,group\np0,1\n")
    code, _, err = run(responses, "--group", groups)
    assert code == 2 and "no row for p1" in err


def test_help_shows_an_example():
    code, out, _ = run("--help")
    assert code == 0 and "Example: trainer item-analysis" in out
