"""What somebody would try who wants files, memory or time that are not theirs."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from urllib.parse import quote

import httpx
import pytest
from served import Visit

OUTSIDE = "kept outside of the workspace"
WAYS_OUT = [
    "..",
    "../secret",
    "..%2fsecret",
    "....//secret",
    "/etc",
    "riserless/../../secret",
    "riserless\\..\\..\\secret",
    "riserless\x00",
    ".bathybore",
    "~",
    "C:\\",
    "a" * 5000,
]


@pytest.fixture
def secret(folder: Path) -> Path:
    """A folder beside the workspace that looks like a hole."""
    place = folder.parent / "secret"
    place.mkdir()
    (place / "hole.yaml").write_text(f"name: {OUTSIDE}\n", encoding="utf-8")
    return place


@pytest.mark.parametrize("way", WAYS_OUT)
def test_no_hole_outside_the_folder_is_read(visit: Visit, secret: Path, way: str) -> None:
    for rest in ("scene", "ledger", "inputs", "tables/earth", "revisions", "programme.pdf"):
        for written in (way, quote(way, safe="")):
            try:
                answer = visit.http.get(f"/api/holes/{written}/{rest}")
            except httpx.InvalidURL:
                continue  # the client itself refuses to ask that
            assert answer.status_code in (404, 422), (written, rest, answer.text)
            assert OUTSIDE not in answer.text
    assert secret.is_dir()


@pytest.mark.parametrize("way", WAYS_OUT)
def test_no_hole_is_made_outside_the_folder(visit: Visit, folder: Path, way: str) -> None:
    before = sorted(folder.parent.iterdir())
    answer = visit.post("/holes", name=way)
    assert answer.status_code == 422
    assert sorted(folder.parent.iterdir()) == before
    assert sorted(p.name for p in folder.iterdir()) == [".bathybore", "riserless"]


@pytest.mark.parametrize(
    "name", ["../hole.yaml", "..%2f..%2fsecret%2fhole.yaml", "/etc/passwd", ".csv", "ledger.csv%00"]
)
def test_an_export_is_no_way_to_a_file(visit: Visit, secret: Path, name: str) -> None:
    answer = visit.http.get(f"/api/holes/riserless/export/{name}")
    assert answer.status_code in (404, 422)
    assert OUTSIDE not in answer.text


@pytest.mark.parametrize("file", ["../secret/hole.yaml", "/etc/passwd", "..", "hole.yaml\x00"])
def test_no_table_outside_the_folder_is_read_or_written(
    visit: Visit, folder: Path, secret: Path, file: str
) -> None:
    edits = [{"op": "set", "key": "site.earth", "text": file}]
    visit.change("/holes/riserless/edits", base=1, edits=edits)
    assert OUTSIDE not in visit.get("/holes/riserless/tables/earth").text
    edits = [{"op": "table", "file": file, "text": "written by somebody"}]
    answer = visit.change("/holes/riserless/edits", base=visit.revision(), edits=edits)
    assert answer.status_code == 422
    assert OUTSIDE in (secret / "hole.yaml").read_text(encoding="utf-8")
    assert sorted(p.name for p in (folder / "riserless").iterdir()) == [
        "earth.csv",
        "hole.yaml",
        "sea.csv",
    ]


def test_a_link_that_leads_out_is_not_followed(visit: Visit, folder: Path, secret: Path) -> None:
    (folder / "leads-out").symlink_to(secret)
    inside = folder / "half"
    inside.mkdir()
    (inside / "hole.yaml").symlink_to(secret / "hole.yaml")
    for hole in ("leads-out", "half"):
        assert visit.get(f"/holes/{hole}/inputs").status_code in (404, 422)
    assert OUTSIDE not in visit.get("/holes").text


@pytest.mark.parametrize(
    "path",
    ["/../pyproject.toml", "/%2e%2e/%2e%2e/app.py", "/assets/../../app.py", "//etc/passwd",
     "/.bathybore/store.sqlite", "/holes/riserless/hole.yaml", "/static/../app.py"],
)  # fmt: skip
def test_only_built_files_are_served(visit: Visit, path: str) -> None:
    answer = visit.http.get(path)
    assert answer.status_code == 404
    assert "import" not in answer.text


def test_a_workbook_that_unpacks_to_a_thousand_times_its_size_is_refused(visit: Visit) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
        with archive.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as sheet:
            for _ in range(200):
                sheet.write(b"0" * 2**20)
    assert len(packed.getvalue()) < 2**18
    answer = visit.upload("/import/preview", "bomb.xlsx", packed.getvalue())
    assert answer.status_code == 422
    assert "unpacks to 210 MB" in answer.json()["faults"][0]["found"]


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("x.xlsx", b"PK\x03\x04 no workbook"),
        ("x.las", b"\xff\xfe\x00\x00" * 1000),
        ("x.csv", b""),
        ("x.csv", b"\x00" * 100_000),
        ("../../x.csv", b"depth\n1\n"),
        ("x.exe", b"MZ" * 100),
        ("x.csv", b"a,b\n" + b"1," * 200_000),
        ("x.yaml", b"a: &a [*a]"),
    ],
)
def test_a_file_that_is_none_of_ours_is_refused_or_read_as_what_it_is(
    visit: Visit, name: str, data: bytes
) -> None:
    assert visit.upload("/import/preview", name, data).status_code in (200, 422)


def test_a_document_that_grows_by_repeating_itself_is_refused(visit: Visit) -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [" + ", ".join([f"*a{i - 1}"] * 10) + "]" for i in range(1, 10)]
    edits = [{"op": "table", "file": "hole.yaml", "text": "\n".join(lines)}]
    answer = visit.change("/holes/riserless/edits", base=1, edits=edits)
    assert answer.status_code in (200, 422)
    assert visit.get("/holes/riserless/inputs").status_code in (200, 422)


@pytest.mark.usefixtures("quick_papers")
def test_text_of_a_user_is_never_a_page(visit: Visit) -> None:
    script = "<script>alert(1)</script>"
    edits = [{"op": "set", "key": "note", "text": script}]
    assert visit.change("/holes/riserless/edits", base=1, edits=edits).status_code == 200
    answer = visit.get("/holes/riserless/scene")
    assert answer.headers["content-type"] == "application/json"
    assert script not in visit.get("/holes/riserless/programme.html").text
    refused = visit.get(f"/holes/{script}/scene")
    assert refused.headers["content-type"] == "application/json"


def test_numbers_that_json_cannot_write_do_no_harm(visit: Visit) -> None:
    content = b'{"base": 1, "client": "a", "token": "b", "handle": "x", "value": NaN}'
    headers = {**visit.headers, "Content-Type": "application/json"}
    for number in (b"NaN", b"Infinity", b"1e999", b"9" * 5000):
        answer = visit.http.post(
            "/api/holes/riserless/handle", content=content.replace(b"NaN", number), headers=headers
        )
        assert answer.status_code == 422
    body = b'{"base": 1, "client": "a", "token": "c", "edits": [%b]}'
    edit = b'{"op": "put", "key": "note", "content": NaN}'
    answer = visit.http.post(
        "/api/holes/riserless/edits", content=body.replace(b"%b", edit), headers=headers
    )
    assert answer.status_code in (200, 422)


def test_deep_nesting_is_refused(visit: Visit) -> None:
    deep = b"[" * 50_000 + b"]" * 50_000
    body = b'{"base": 1, "client": "a", "token": "b", "edits": [{"op": "put", "key": "note", '
    body += b'"content": ' + deep + b"}]}"
    headers = {**visit.headers, "Content-Type": "application/json"}
    answer = visit.http.post("/api/holes/riserless/edits", content=body, headers=headers)
    assert answer.status_code == 422
    content: object = "x"
    for _ in range(150):
        content = [content]
    edits = [{"op": "put", "key": "note", "content": content}]
    answer = visit.change("/holes/riserless/edits", base=1, edits=edits)
    assert answer.status_code in (200, 422)
    assert visit.get("/holes/riserless/scene").status_code == 200
