"""Holes, pictures, edits, revisions, signatures, programme and data over plain requests."""

from __future__ import annotations

import json
import shutil
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from served import DENSITY, EXAMPLES, Visit

from bathybore.usecases.explaining import explain
from bathybore.usecases.ledger import ledger, verdict
from bathybore.usecases.walking import Walk, walk


@pytest.fixture(scope="module")
def riserless() -> Walk:
    return walk(EXAMPLES / "riserless")


def test_the_folder_lists_its_holes_the_broken_one_with_its_fault(
    visit: Visit, folder: Path
) -> None:
    shutil.copytree(EXAMPLES / "riserless", folder / "spoilt")
    (folder / "spoilt" / "hole.yaml").write_text("name: [", encoding="utf-8")
    (folder / "no-hole").mkdir()
    holes = {hole["id"]: hole for hole in visit.get("/holes").json()}
    assert set(holes) == {"riserless", "spoilt"}
    assert holes["riserless"]["invented"] is True
    assert holes["riserless"]["fault"] == ""
    assert "hole.yaml" in holes["spoilt"]["fault"]


def test_a_hole_is_begun_and_can_be_used_at_once(visit: Visit, folder: Path) -> None:
    made = visit.post("/holes", name="my hole").json()
    assert made["id"] == "my hole"
    assert (folder / "my hole" / "hole.yaml").is_file()
    assert visit.get("/holes/my hole/scene").json()["scene"]["hole"]
    again = visit.post("/holes", name="my hole")
    assert again.status_code == 422
    assert "a new name" in again.json()["faults"][0]["expected"]


def test_the_demonstration_is_added_over_nothing(visit: Visit, folder: Path) -> None:
    before = (folder / "riserless" / "hole.yaml").read_bytes()
    holes = visit.post("/holes/demonstration").json()
    assert {hole["id"] for hole in holes} == {"frontier", "main", "riserless"}
    assert (folder / "riserless" / "hole.yaml").read_bytes() == before


def test_the_ledger_is_that_of_the_command_line(visit: Visit, riserless: Walk) -> None:
    page = visit.get("/holes/riserless/ledger").json()
    whole = ledger(riserless)
    assert page["verdict"] == verdict(whole)
    assert page["counts"] == whole.counts
    assert {row["id"]: row["status"] for row in page["rows"]} == {
        row.id: row.status for row in whole.rows
    }
    assert page["fails_first"] == whole.fails_first
    by_id = {record.id: record for record in riserless.records}
    for row in page["rows"]:
        record = by_id[row["id"]]
        place = record.depth and riserless.hole.z(record.depth)
        assert row["z"] == (None if place is None else pytest.approx(place))


def test_units_change_the_texts_and_not_the_numbers(visit: Visit) -> None:
    metric = visit.get("/holes/riserless/ledger").json()["rows"]
    oilfield = visit.get("/holes/riserless/ledger", units="oilfield").json()["rows"]
    assert [row["margin"] for row in metric] == [row["margin"] for row in oilfield]
    assert [row["z"] for row in metric] == [row["z"] for row in oilfield]
    assert any("psi" in row["demand"] for row in oilfield)


def test_every_check_opens(visit: Visit, riserless: Walk) -> None:
    for record in riserless.records[::7]:
        answer = visit.get(f"/holes/riserless/checks/{record.id}")
        assert answer.status_code == 200, record.id
        assert answer.json()["demand"] == json.loads(json.dumps(answer.json()["demand"]))
        assert answer.json()["question"] == explain(record).question
    assert visit.get("/holes/riserless/checks/drill/none").status_code == 404


def test_a_formula_is_a_picture_in_the_colour_of_its_text(visit: Visit) -> None:
    answer = visit.get("/formula/internal_yield_pressure")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "currentColor" in answer.text
    assert "#000" not in answer.text
    unknown = visit.get("/formula/internal_yield_presure")
    assert unknown.status_code == 422
    assert "internal_yield_pressure" in unknown.json()["faults"][0]["fix"]


def test_a_step_is_pictured_and_an_unknown_one_is_the_last(visit: Visit) -> None:
    last = visit.get("/holes/riserless/scene").json()["scene"]
    first = visit.get("/holes/riserless/scene", step=last["steps"][0]["name"]).json()["scene"]
    assert first["step"] == last["steps"][0]["name"]
    assert first["section"] != last["section"]
    assert visit.get("/holes/riserless/scene", step="none").json()["scene"] == last


def test_an_edit_makes_a_revision_and_is_in_the_history(visit: Visit) -> None:
    revision = visit.set_density("1.21 sg", 1, label="heavier").json()["revision"]
    newest, oldest = visit.get("/holes/riserless/revisions").json()
    assert (newest["number"], newest["label"], newest["author"]) == (revision, "heavier", "local")
    assert oldest["number"] == 1
    page = visit.get("/holes/riserless/revisions", before=revision).json()
    assert [one["number"] for one in page] == [1]


def test_an_edit_that_was_sent_twice_is_made_once(visit: Visit) -> None:
    first = visit.set_density("1.21 sg", 1, token="the same")
    again = visit.set_density("1.21 sg", 1, token="the same")
    assert first.json() == again.json()
    assert visit.revision() == first.json()["revision"]


def test_two_pages_do_not_overwrite_each_other(visit: Visit) -> None:
    made = visit.set_density("1.21 sg", 1).json()["revision"]
    clash = visit.set_density("1.3 sg", 1, client="another page")
    assert clash.status_code == 409
    assert clash.json()["conflict"] == {"keys": [DENSITY], "by": "local", "revision": made}
    elsewhere = {"op": "set", "key": "name", "text": "Renamed"}
    merged = visit.change(
        "/holes/riserless/edits", client="another page", base=1, edits=[elsewhere]
    )
    assert merged.status_code == 200


def test_undo_redo_and_going_back(visit: Visit) -> None:
    visit.set_density("1.21 sg", 1)
    undone = visit.change("/holes/riserless/undo", base=1).json()["revision"]
    scene = visit.get("/holes/riserless/scene").json()
    assert (scene["revision"], scene["can_undo"], scene["can_redo"]) == (undone, False, True)
    visit.change("/holes/riserless/redo", base=1)
    restored = visit.change("/holes/riserless/restore", number=1, base=1).json()["revision"]
    compared = visit.get("/holes/riserless/compare", then=1, now=restored).json()
    assert compared["inputs"] == []
    nothing = visit.change("/holes/riserless/restore", number=10**6, base=1)
    assert nothing.status_code == 422


@pytest.mark.parametrize(("how", "rest"), [("undo", {}), ("restore", {"number": 1})])
def test_what_another_did_unseen_is_not_taken_back(
    visit: Visit, how: str, rest: dict[str, int]
) -> None:
    made = visit.set_density("1.21 sg", 1).json()["revision"]
    path = f"/holes/riserless/{how}"
    refused = visit.change(path, client="another page", base=1, **rest)
    assert refused.status_code == 409
    assert refused.json()["conflict"] == {"keys": [how], "by": "local", "revision": made}
    assert visit.revision() == made
    assert visit.change(path, client="another page", base=made, **rest).status_code == 200


def test_two_revisions_are_compared(visit: Visit) -> None:
    now = visit.set_density("1.35 sg", 1).json()["revision"]
    compared = visit.get("/holes/riserless/compare", then=1, now=now, units="oilfield").json()
    (change,) = compared["inputs"]
    assert change["now"] == "1.35 sg"
    assert compared["then"]["window"] != compared["now"]["window"]


def test_inputs_are_compared_with_a_plan_that_cannot_be_walked(visit: Visit) -> None:
    broken = [{"op": "remove", "key": "site.water_depth"}]
    now = visit.change("/holes/riserless/edits", edits=broken, base=1).json()["revision"]
    assert visit.get("/holes/riserless/compare", then=1, now=now).status_code == 422
    compared = visit.get("/holes/riserless/compare/inputs", then=1, now=now).json()
    (change,) = compared["inputs"]
    assert (change["key"], change["now"]) == ("site.water_depth", "")
    assert compared["faults_then"] == []
    assert "water_depth" in compared["faults_now"][0]["where"]


def test_a_table_is_compared_by_lines_where_nothing_can_be_walked(visit: Visit) -> None:
    broken = [{"op": "table", "file": "earth.csv", "text": "depth_below_sea_bed [m]\n"}]
    now = visit.change("/holes/riserless/edits", edits=broken, base=1).json()["revision"]
    compared = visit.get("/holes/riserless/compare/inputs", then=1, now=now).json()
    (change,) = compared["inputs"]
    assert change["key"] == "earth.csv"
    assert change["now"] == "1 line, 1 of them new or other"


def test_the_history_calls_a_handle_what_the_reader_calls_it(visit: Visit) -> None:
    handle = visit.get("/holes/riserless/scene").json()["scene"]["handles"][0]
    moved = {"handle": handle["id"], "value": handle["value"] + handle["step"], "base": 1}
    visit.change("/holes/riserless/handle", **moved, label=handle["label"])
    assert visit.get("/holes/riserless/revisions").json()[0]["label"] == handle["label"]


def test_what_is_tried_is_not_kept(visit: Visit) -> None:
    broken = [{"op": "remove", "key": "site.water_depth"}]
    assert visit.post("/holes/riserless/validate", edits=broken).json()["faults"]
    fine = [{"op": "set", "key": DENSITY, "text": "1.21 sg"}]
    assert visit.post("/holes/riserless/validate", edits=fine).json()["faults"] == []
    assert visit.post("/holes/riserless/validate", edits=[{"op": "set", "key": "x"}]).json()
    assert visit.revision() == 1


def test_a_signature_stays_on_its_revision(visit: Visit) -> None:
    signed = visit.post("/holes/riserless/sign", name="A. Tester", note="seen", revision=1)
    assert signed.status_code == 200, signed.text
    assert signed.json()["signature"]["name"] == "A. Tester"
    assert (
        signed.json()["signature"]["verdict"]
        == visit.get("/holes/riserless/ledger").json()["verdict"]
    )
    visit.set_density("1.21 sg", 1)
    newest, oldest = visit.get("/holes/riserless/revisions").json()
    assert (newest["signed_by"], oldest["signed_by"]) == ([], ["A. Tester"])
    late = visit.post("/holes/riserless/sign", name="A. Tester", note="", revision=1)
    assert late.status_code == 409
    (kept,) = visit.get("/holes/riserless/signatures").json()
    assert kept == signed.json()["signature"]


def test_nobody_signs_without_a_name_or_under_a_broken_plan(visit: Visit) -> None:
    assert visit.post("/holes/riserless/sign", name=" ", note="", revision=1).status_code == 422
    edits = [{"op": "remove", "key": "site.water_depth"}]
    base = visit.change("/holes/riserless/edits", base=1, edits=edits).json()["revision"]
    broken = visit.post("/holes/riserless/sign", name="A. Tester", note="", revision=base)
    assert broken.status_code == 422
    assert visit.get("/holes/riserless/signatures").json() == []


def test_an_account_signs_under_its_own_name(guarded: str) -> None:
    visit = Visit(guarded)
    visit.login("Sigrid")
    signed = visit.post("/holes/riserless/sign", name="Somebody Else", note="", revision=1)
    assert signed.json()["signature"]["name"] == "Sigrid"


@pytest.mark.usefixtures("quick_papers")
def test_the_programme_is_written_and_runs_nothing(visit: Visit) -> None:
    pdf = visit.get("/holes/riserless/programme.pdf")
    assert pdf.content.startswith(b"%PDF-")
    assert pdf.headers["content-type"] == "application/pdf"
    assert pdf.headers["content-security-policy"] == "frame-ancestors 'self'"
    page = visit.get("/holes/riserless/programme.html")
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "sandbox" in policy
    assert "<script" not in page.text
    visit.set_density("1.35 sg", 1)
    old = visit.get("/holes/riserless/programme.html", revision=1)
    assert old.text == page.text


def test_everything_can_be_taken_out(visit: Visit) -> None:
    listed = visit.get("/holes/riserless/exports").json()
    assert {"tables", "ledger", "picture-hole", "walk"} <= {one["name"] for one in listed}
    for one in listed:
        for kind in one["kinds"]:
            answer = visit.get(f"/holes/riserless/export/{one['name']}.{kind}")
            assert answer.status_code == 200, one
            assert answer.content
            assert "attachment" in answer.headers["content-disposition"]
            assert "sandbox" in answer.headers["content-security-policy"]
    rows = visit.get("/holes/riserless/ledger").json()["rows"]
    written = visit.get("/holes/riserless/export/ledger.csv").text
    assert all(row["check"] in written for row in rows)
    unknown = visit.get("/holes/riserless/export/leger.csv")
    assert "ledger.csv" in unknown.json()["faults"][0]["fix"]


def test_a_table_of_a_page_is_written_as_a_file(visit: Visit) -> None:
    shown = {
        "label": "Up the annulus: ½",
        "titles": ["Place", "Velocity", "Said"],
        "rows": [["=riser", "-0.5 m/s", "-"], ["casing", "1\u202f200 m/s", "+1"]],
    }
    made = visit.post("/holes/riserless/table.csv", **shown)
    assert made.status_code == 200
    assert "riserless-up-the-annulus.csv" in made.headers["content-disposition"]
    about, head, *rows = made.text.splitlines()
    assert "(invented), revision 1, Bathybore" in about
    assert head == "Place,Velocity [m/s],Said"
    assert rows == ["'=riser,-0.5,'-", "casing,1200,'+1"]
    book = load_workbook(BytesIO(visit.post("/holes/riserless/table.xlsx", **shown).content))
    cells = [[cell.value for cell in row] for row in book["table"].iter_rows()]
    assert cells[1:] == [["=riser", -0.5, "-"], ["casing", 1200, "+1"]]
    ragged = visit.post("/holes/riserless/table.csv", **(shown | {"rows": [["riser"]]}))
    assert ragged.status_code == 422
    assert ragged.json()["faults"][0]["where"] == "rows[0]"
    assert visit.post("/holes/riserless/table.pdf", **shown).status_code == 422


def test_a_file_of_an_older_revision_stays_what_it_was(visit: Visit) -> None:
    before = visit.get("/holes/riserless/export/inputs.csv").content
    visit.set_density("1.21 sg", 1)
    assert visit.get("/holes/riserless/export/inputs.csv").content != before
    assert visit.get("/holes/riserless/export/inputs.csv", revision=1).content == before


def test_inputs_and_tables_are_shown_with_their_faults(visit: Visit) -> None:
    form = visit.get("/holes/riserless/inputs").json()
    assert form["root"]["groups"]
    table = visit.get("/holes/riserless/tables/earth").json()
    assert table["file"] == "earth.csv"
    assert table["rows"]
    assert visit.get("/holes/riserless/tables/moon").status_code == 422
    edits = [{"op": "set", "key": "site.water_depth", "text": "deep"}]
    refused = visit.change("/holes/riserless/edits", base=1, edits=edits)
    assert refused.status_code == 422


def test_a_survey_is_begun_filled_and_shown(visit: Visit) -> None:
    none = visit.get("/holes/riserless/tables/survey").json()
    assert none["rows"] == []
    assert none["beginning"].startswith("#")
    edits = [
        {"op": "set", "key": "site.survey", "text": none["file"]},
        {"op": "table", "file": none["file"], "text": none["beginning"]},
        {"op": "insert-row", "file": none["file"], "row": 1},
        {"op": "cell", "file": none["file"], "row": 1, "column": "inclination", "text": "1.5"},
    ]
    done = visit.change("/holes/riserless/edits", base=1, edits=edits)
    assert done.status_code == 200, done.text
    shown = visit.get("/holes/riserless/tables/survey").json()
    assert shown["beginning"] == ""
    assert [row[1] for row in shown["rows"]] == ["0", "1.5", "0"]
    exported = visit.get("/holes/riserless/export/survey.csv").text
    assert "inclination" in exported
    assert "1.5" in exported


def test_rows_of_a_file_are_looked_at_and_taken_in(visit: Visit) -> None:
    data = (EXAMPLES / "riserless" / "sea.csv").read_bytes()
    found = visit.upload("/import/preview", "sea.csv", data).json()
    assert found["rows"] > 2
    columns: list[dict[str, Any]] = [
        {"index": column["index"], **column["guesses"]["sea"]}
        for column in found["columns"]
        if "sea" in column["guesses"]
    ]
    mapping = {"table": "sea", "columns": columns, "datum": "sea level", "true_vertical": True}
    form = {"mapping": json.dumps(mapping), "base": 1, "client": visit.client, "token": "once"}
    taken = visit.upload("/holes/riserless/import", "sea.csv", data, **form)
    assert taken.status_code == 200, taken.text
    assert taken.json()["rows"] == found["rows"]
    assert visit.upload("/holes/riserless/import", "sea.csv", data, **form).json() == taken.json()
    clashing = {**form, "client": "another page", "token": "another"}
    clash = visit.upload("/holes/riserless/import", "sea.csv", data, **clashing)
    assert clash.status_code == 409
    for wrong in ("", "{", "[]", '{"table": "moon"}'):
        refused = visit.upload(
            "/holes/riserless/import", "sea.csv", data, **{**form, "mapping": wrong}
        )
        assert refused.status_code == 422


def test_a_ledger_says_of_which_revision_it_is(visit: Visit) -> None:
    broken = [{"op": "remove", "key": "site.water_depth"}]
    made = visit.change("/holes/riserless/edits", base=1, edits=broken).json()["revision"]
    scene = visit.get("/holes/riserless/scene").json()
    assert scene["revision"] == made
    assert scene["faults"]
    assert scene["scene"] is not None  # of the revision before
    assert visit.get("/holes/riserless/ledger").json()["revision"] == 1


def test_a_walk_that_stops_is_shown_as_far_as_it_goes(visit: Visit) -> None:
    scene = visit.get("/holes/riserless/scene").json()["scene"]
    steps = [step["name"] for step in scene["steps"]]
    casing = next(name for name in steps if name.startswith("run-") and "conductor" not in name)
    edit = {
        "op": "put",
        "key": "plan.step_edits",
        "content": [{"step": casing, "remove": True, "why": "a test"}],
    }
    made = visit.change("/holes/riserless/edits", base=1, edits=[edit])
    assert made.status_code == 200, made.text
    after = visit.get("/holes/riserless/scene").json()
    assert after["revision"] == made.json()["revision"]
    assert after["scene"]["stopped"]
    assert after["faults"] == []
    assert visit.get("/holes/riserless/ledger").json()["passes"] is False


def test_a_step_inserted_by_hand_is_judged_and_told_with_its_section(visit: Visit) -> None:
    content = {
        "insert_after": "drill-core-hole",
        "insert": "circulate",
        "name": "clean-up",
        "bottoms_up": "2",
        "why": "torque",
    }
    edit = {"op": "put", "key": "plan.step_edits", "content": [content]}
    half = {**edit, "content": [{**content, "duration": "1 h"}]}
    answer = visit.change("/holes/riserless/validate", edits=[half]).json()
    assert [fault["where"].split(", ")[-1] for fault in answer["faults"]] == ["plan.step_edits[0]"]
    made = visit.change("/holes/riserless/edits", base=1, edits=[edit])
    assert made.status_code == 200, made.text
    steps = visit.get("/holes/riserless/scene").json()["scene"]["steps"]
    (step,) = (one for one in steps if one["name"] == "clean-up")
    assert (step["kind"], step["section"], step["title"]) == (
        "circulate",
        "core-hole",
        "Circulate: torque",
    )
    judged = visit.get("/holes/riserless/ledger").json()["rows"]
    assert any(row["id"] == "clean-up/circulated-clean" for row in judged)
