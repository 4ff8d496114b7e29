"""calibrate and ability: the contract's shapes, published values, and wrong input."""

import json
import math

import numpy as np
import pytest

from tests.core.measurement.calibration.outside import data
from tests.core.measurement.calibration.simulated import simulated
from tests.support.command import run
from trainer.core.measurement.calibration import maximise


@pytest.fixture(scope="module")
def lsat6(tmp_path_factory):
    items, marks = data("lsat6")
    lines = [",".join([f"p{n}", *map(str, row)]) for n, row in enumerate(marks)]
    path = tmp_path_factory.mktemp("lsat6") / "responses.csv"
    path.write_text("\n".join([",".join(["person", *items]), *lines]) + "\n")
    return path


def calibrated(path, *more):
    code, out, err = run("calibrate", str(path), *more)
    assert (code, err) == (0, "")
    return json.loads(out)


def test_rasch_of_lsat6_as_published(lsat6):
    """Rizopoulos 2006, Journal of Statistical Software 17(5)."""
    found = calibrated(lsat6, "--model", "rasch")
    assert round(found["loglik"], 3) == -2466.938
    assert found["n_people"] == 1000
    assert [list(row) for row in found["items"]] == [["item", "a", "b", "se_a", "se_b"]] * 5
    assert [row["item"] for row in found["items"]] == ["Q1", "Q2", "Q3", "Q4", "Q5"]
    assert [round(row["b"], 3) for row in found["items"]] == [
        -3.615,
        -1.322,
        -0.318,
        -1.730,
        -2.780,
    ]
    assert {round(row["a"], 3) for row in found["items"]} == {0.755}
    assert found["convergence"]["converged"] is True


def test_priors_draw_slopes_to_one(lsat6):
    plain = calibrated(lsat6, "--model", "2pl")
    drawn = calibrated(lsat6, "--model", "2pl", "--prior", "default")
    assert plain["loglik"] == pytest.approx(-2466.6534, abs=0.005)
    assert drawn["loglik"] < plain["loglik"]


def test_from_responses_to_abilities(lsat6, tmp_path):
    parameters = tmp_path / "parameters.json"
    found = calibrated(lsat6, "--model", "2pl", "--guessing", "0.1", "--prior", "default")
    parameters.write_text(json.dumps(found))
    code, out, err = run("ability", str(lsat6), "--items", str(parameters))
    rows = [json.loads(line) for line in out.splitlines()]
    assert (code, err, len(rows)) == (0, "", 1000)
    assert all(list(row) == ["person", "theta", "se"] for row in rows)
    assert rows[0]["theta"] < rows[-1]["theta"] and all(0 < row["se"] < 1 for row in rows)
    assert abs(sum(row["theta"] for row in rows)) / 1000 < 0.02


def test_fit_on_request(lsat6):
    assert "fit" not in calibrated(lsat6, "--model", "2pl")
    rows = calibrated(lsat6, "--model", "2pl", "--fit")["fit"]
    assert [list(row) for row in rows] == [["item", "infit", "outfit", "s_x2", "df", "p"]] * 5
    assert all(0.9 < row["infit"] < 1.1 and row["p"] > 0.05 for row in rows)
    rasch = calibrated(lsat6, "--model", "rasch", "--fit")["fit"]
    assert [row["df"] for row in rasch] == [row["df"] + 1 for row in rows]


def test_nobody_answered_everything(tmp_path):
    text = "person,x,y\na,1,\nb,0,1\nc,,0\nd,,\n"
    code, out, _ = run("calibrate", "-", "--model", "2pl", "--prior", "default", input=text)
    found = json.loads(out)
    assert code == 0 and found["n_people"] == 4
    words = ("calibrate", "-", "--model", "2pl", "--prior", "default", "--fit")
    fit = json.loads(run(*words, input=text)[1])["fit"]
    assert fit[0]["s_x2"] is None and fit[0]["infit"] > 0
    parameters = tmp_path / "parameters.json"
    parameters.write_text(out)
    rows = [
        json.loads(x)
        for x in run("ability", "-", "--items", str(parameters), input=text)[1].splitlines()
    ]
    assert rows[-1]["person"] == "d"
    assert (rows[-1]["theta"], rows[-1]["se"]) == pytest.approx((0, 1), abs=1e-4)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("person,x\na,3\n", "line 2, column x: is '3'"),
        ("person,x\na,1\nb,0\n", "line 1: names too few items: 1, and this model needs 2"),
        ("person,x,y\na,1,1\nb,1,0\n", "line 1, column x: has no estimate: everybody"),
        ("person,x,y\na,0,1\nb,0,0\n", "line 1, column x: has no estimate: nobody who"),
        ("person,x,y\na,,1\nb,,0\n", "line 1, column x: has no estimate: nobody answered"),
    ],
)
def test_wrong_responses_end_with_2(text, words):
    code, out, err = run("calibrate", "-", "--model", "rasch", input=text)
    assert (code, out) == (2, "")
    assert words in err


def test_an_item_without_parameters_ends_with_2(lsat6, tmp_path):
    parameters = tmp_path / "p.json"
    parameters.write_text(json.dumps([{"item": "Q1", "a": 1, "b": 0}]))
    code, out, err = run("ability", str(lsat6), "--items", str(parameters))
    assert (code, out) == (2, "")
    assert "line 1, column Q2: has no parameters in" in err


def test_wrong_files_and_options_end_with_2(lsat6):
    assert run("calibrate", "nowhere.csv", "--model", "2pl")[0] == 2
    assert run("calibrate", str(lsat6), "--model", "2pl", "--guessing", "1")[0] == 2
    assert run("calibrate", str(lsat6))[0] == 2


def test_a_search_that_does_not_settle_says_so(lsat6, monkeypatch):
    monkeypatch.setattr(maximise, "CYCLES", 1)
    monkeypatch.setattr(maximise, "PATIENCE", 1)
    code, out, err = run("calibrate", str(lsat6), "--model", "2pl")
    assert code == 0 and "did not settle" in err
    assert json.loads(out)["convergence"]["converged"] is False


def test_a_slope_without_end_is_pointed_out():
    """Everybody right on x is right on y, and the other way: nothing bounds their slopes."""
    text = "person,x,y,z\na,1,1,0\nb,1,1,1\nc,0,0,1\nd,0,0,0\ne,1,1,1\n"
    code, out, err = run("calibrate", "-", "--model", "2pl", input=text)
    assert code == 0 and "did not settle" in err and "too few responses to tell how steep" in err
    assert json.loads(out)["convergence"]["converged"] is False
    assert run("calibrate", "-", "--model", "2pl", "--prior", "default", input=text)[2] == ""


def test_right_no_oftener_than_guessing_is_pointed_out():
    """A floor of 0.25, and one item that hardly anybody has right: no difficulty is high enough."""
    marks, *_ = simulated(400, 6, 3, floor=0.25)
    marks[:, 2] = np.arange(400) % 8 == 0
    rows = [",".join([f"p{n}", *map(str, row)]) for n, row in enumerate(marks)]
    text = "\n".join(["person,u,v,w,x,y,z", *rows])
    words = ("calibrate", "-", "--model", "rasch", "--guessing", "0.25")
    code, out, err = run(*words, input=text)
    assert code == 0 and "w: right no oftener than guessing alone" in err
    assert json.loads(out)["convergence"]["converged"] is False
    settled = run(*words, "--prior", "default", input=text)
    assert settled[2] == "" and json.loads(settled[1])["convergence"]["converged"] is True


def test_an_item_keyed_wrong_is_pointed_out(lsat6, tmp_path):
    lines = lsat6.read_text().splitlines()
    turned = [lines[0]] + [line[:-1] + str(1 - int(line[-1])) for line in lines[1:]]
    path = tmp_path / "turned.csv"
    path.write_text("\n".join(turned))
    code, out, err = run("calibrate", str(path), "--model", "2pl")
    assert code == 0 and "Q5: able people do worse on it; check its key." in err
    last = json.loads(out)["items"][-1]
    assert last["a"] == pytest.approx(-0.6569, abs=0.01) and math.isfinite(last["se_b"])
