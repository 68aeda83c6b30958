"""The gate: host names, origins, sizes and the policy on every answer."""

from __future__ import annotations

from pathlib import Path

import httpx
import pytest
from served import Visit, running

from bathybore.web.guard import LOOPBACK_NAMES, Names


@pytest.mark.parametrize("host", ["127.0.0.1:8137", "localhost", "[::1]:8137", "LOCALHOST:1"])
def test_names_of_this_computer_are_answered(address: str, host: str) -> None:
    assert httpx.get(f"{address}/api/session", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["elsewhere.example", "127.0.0.1.elsewhere.example", "localhost.elsewhere.example:8137", "",
     "10.0.0.7", "127.0.0.1@elsewhere.example"],
)  # fmt: skip
def test_a_foreign_name_that_points_here_is_refused(address: str, host: str) -> None:
    answer = httpx.get(f"{address}/api/session", headers={"Host": host})
    assert answer.status_code == 403
    assert answer.json()["faults"][0]["where"] == "Host"


def test_a_wide_server_answers_to_addresses_and_to_no_made_up_name() -> None:
    names = Names(LOOPBACK_NAMES | {"planner"}, any_address=True)
    assert all(names.allow(host) for host in ("10.0.0.7:8137", "[fe80::1]:80", "Planner"))
    assert not any(names.allow(host) for host in ("elsewhere.example", "10.0.0.7.example", "[x]"))


@pytest.mark.parametrize(
    "origin",
    ["https://elsewhere.example", "null", "http://127.0.0.1:9999", "http://localhost:8137", ""],
)
def test_a_change_from_a_foreign_page_is_refused(visit: Visit, origin: str) -> None:
    headers = {**visit.headers, "Origin": origin}
    answer = visit.http.post("/api/holes", json={"name": "theirs"}, headers=headers)
    assert answer.status_code == 403
    assert [hole["id"] for hole in visit.get("/holes").json()] == ["riserless"]


def test_a_change_without_the_token_is_refused(visit: Visit) -> None:
    for token in ("", "0" * 64, visit.told["csrf"][:-1], "é"):
        headers = {**visit.headers, "X-Bathybore-Token": token.encode("latin-1")}
        answer = visit.http.post("/api/holes", json={"name": "theirs"}, headers=headers)
        assert answer.status_code == 403, token
    assert visit.post("/holes", name="mine").status_code == 200


def test_a_form_of_a_foreign_page_is_no_request_of_ours(visit: Visit) -> None:
    headers = {**visit.headers, "Content-Type": "text/plain"}
    content = b'{"name": "theirs"}'
    answer = visit.http.post("/api/holes", content=content, headers=headers)
    assert answer.status_code == 422


def test_without_a_session_nothing_is_told(address: str) -> None:
    for path in ("/api/holes", "/api/holes/riserless/scene", "/api/formula/normal_stress"):
        assert httpx.get(f"{address}{path}").status_code == 401, path


def test_a_proxy_before_a_server_without_accounts_is_refused(address: str) -> None:
    for name in ("X-Forwarded-For", "Forwarded", "X-Forwarded-Host", "X-Forwarded-Proto"):
        answer = httpx.get(f"{address}/api/session", headers={name: "10.0.0.7"})
        assert answer.status_code == 403, name
        assert "account" in answer.json()["faults"][0]["fix"]


def test_every_answer_carries_the_policy(visit: Visit) -> None:
    paths = ("/", "/api/session", "/api/holes/nowhere/scene", "/nowhere", "/api/openapi.json")
    for path in paths:
        headers = visit.http.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'self'" in policy, path
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
    refused = visit.http.get("/", headers={"Host": "elsewhere.example"})
    assert "default-src 'self'" in refused.headers["content-security-policy"]


def test_answers_of_the_interface_are_not_kept_by_the_browser(visit: Visit) -> None:
    assert visit.get("/holes").headers["cache-control"] == "no-store"


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(address: str) -> None:
    cookie = httpx.get(f"{address}/api/session").headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "secure" not in cookie  # plain http within this computer


@pytest.mark.parametrize("path", ["/docs", "/redoc", "/api/docs", "/openapi.json"])
def test_there_is_no_page_that_loads_from_elsewhere(address: str, path: str) -> None:
    assert httpx.get(f"{address}{path}").status_code == 404


def test_a_request_over_the_limit_is_refused_whatever_it_claims(folder: Path) -> None:
    with running(folder, upload_limit=2**20) as address:
        visit = Visit(address)
        large = b"x" * (8 * 2**20)  # still being sent when it is clear that it is too much
        answer = visit.upload("/import/preview", "large.csv", large)
        assert answer.status_code == 413
        assert "1 MB" in answer.json()["faults"][0]["expected"]
        pieces = (large[i : i + 65536] for i in range(0, len(large), 65536))
        headers = {**visit.headers, "Content-Type": "application/json"}
        answer = visit.http.post(
            "/api/holes", content=pieces, headers=headers
        )  # in chunks: no length
        assert answer.status_code == 413


def test_only_get_and_post_are_known(visit: Visit) -> None:
    for method in ("PUT", "DELETE", "PATCH", "TRACE", "OPTIONS"):
        answer = visit.http.request(method, "/api/holes", headers=visit.headers)
        assert answer.status_code in (403, 405), method
