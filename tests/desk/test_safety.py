"""Nobody but this run's browser sees or changes anything."""

from __future__ import annotations

import re

import pytest

from tests.desk.desk_made import HOST, PORT, browser, small_kit

PAGES = ("/", "/kit/1/", "/kit/1/paints", "/kit/1/basket", "/kit/1/guide", "/static/desk.css")


@pytest.fixture
def opened(tmp_path):
    small_kit(tmp_path)
    made = browser(tmp_path)
    made.desk.open(tmp_path)
    return made


@pytest.mark.parametrize("host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:1", ""])
def test_a_foreign_host_gets_nothing(opened, host):
    # A name under somebody else's control may be made to point at 127.0.0.1 ("DNS rebinding").
    answer = opened.client.get("/", headers={"Host": host})
    assert answer.status_code == 403 and b"<form" not in answer.data


@pytest.mark.parametrize("page", PAGES)
def test_without_the_key_there_is_no_page(tmp_path, page):
    stranger = browser(tmp_path, admitted=False)
    stranger.client.set_cookie(stranger.desk.cookie, "guessed", domain="127.0.0.1")
    assert stranger.client.get(page, headers={"Host": HOST}).status_code == 403
    assert stranger.client.get(f"{page}?ticket=guessed", headers={"Host": HOST}).status_code == 403
    assert (
        stranger.client.get(f"{page}?ticket={stranger.desk.key}", headers={"Host": HOST}).status_code == 403
    )


def test_a_ticket_becomes_a_cookie_and_leaves_the_address(tmp_path):
    stranger = browser(tmp_path, admitted=False)
    answer = stranger.client.get(f"/?view=x&ticket={stranger.desk.tickets.issue()}", headers={"Host": HOST})
    assert answer.status_code == 302 and answer.headers["Location"] == "/?view=x"
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie and str(PORT) in cookie.partition("=")[0]
    assert stranger.client.get("/", headers={"Host": HOST}).status_code == 200


@pytest.mark.parametrize("path", ["//evil.example/", "/\\evil.example/", "///evil.example"])
def test_a_ticket_does_not_lead_to_another_host(tmp_path, path):
    stranger = browser(tmp_path, admitted=False)
    environ = {"PATH_INFO": path, "HTTP_HOST": HOST}
    answer = stranger.client.open(
        query_string={"ticket": stranger.desk.tickets.issue()}, environ_overrides=environ
    )
    where = answer.headers.get("Location", "")
    assert answer.status_code in (302, 308, 404)
    assert (
        where.startswith(f"http://{HOST}/")
        or (where[:1] == "/" and where[1:2] not in ("/", "\\"))
        or not where
    )


def test_a_ticket_is_good_for_one_use(tmp_path):
    made = browser(tmp_path, admitted=False)
    renewed = []
    made.desk.tickets.renew = lambda: renewed.append(made.desk.tickets.issue())
    address = f"/?ticket={made.desk.tickets.issue()}"
    assert made.client.get(address, headers={"Host": HOST}).status_code == 302
    thief = made.client.application.test_client()
    for _ in range(3):  # however often somebody tries, one fresh address waits in the terminal, not three
        answer = thief.get(address, headers={"Host": HOST})
        assert answer.status_code == 403 and "Set-Cookie" not in answer.headers
    assert len(renewed) == 1
    assert made.client.get(address, headers={"Host": HOST}).status_code == 302  # a reload of who was let in
    assert thief.get(f"/?ticket={renewed[0]}", headers={"Host": HOST}).status_code == 302


def test_tickets_that_were_never_issued_print_nothing(tmp_path):
    made = browser(tmp_path, admitted=False)
    made.desk.tickets.renew = lambda: pytest.fail("anybody can make the terminal talk")
    assert made.client.get("/?ticket=guessed", headers={"Host": HOST}).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": f"http://127.0.0.1:{PORT + 1}"},  # another server on this machine
        {"Origin": f"https://{HOST}"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},  # ports are no part of a site
    ],
)
def test_a_valid_token_from_a_foreign_page_changes_nothing(opened, tmp_path, headers):
    before = (tmp_path / "kit.toml").read_bytes()
    form = {"token": opened.desk.token, **CHANGES["/kit/1/add-part"]}
    sent = {"Host": HOST, **headers}
    assert opened.client.post("/kit/1/add-part", headers=sent, data=form).status_code == 403
    assert opened.client.get("/kit/1/", headers=sent).status_code == 403
    assert (tmp_path / "kit.toml").read_bytes() == before


@pytest.mark.parametrize("headers", [{"Origin": f"http://{HOST}"}, {"Sec-Fetch-Site": "same-origin"}])
def test_the_token_may_stand_in_a_header(opened, headers):
    sent = {"Host": HOST, "X-Desk-Token": opened.desk.token, **headers}
    form = CHANGES["/kit/1/add-part"]
    assert opened.client.post("/kit/1/add-part", headers=sent, data=form).status_code == 303
    wrong = {**sent, "X-Desk-Token": "guessed"}
    assert opened.client.post("/kit/1/add-part", headers=wrong, data=form).status_code == 403


CHANGES = {
    "/open": {"path": "."},
    "/begin": {"path": "fresh"},
    "/kit/1/add-part": {"id": "new"},
    "/kit/1/add-reference": {"id": "new", "file": "a.png", "kind": "photograph", "tone": "colour"},
    "/kit/1/mark": {
        "id": "a",
        "what": "sample",
        "part": "roof",
        "left": 1,
        "top": 1,
        "width": 9,
        "height": 9,
    },
    "/kit/1/unmark": {"id": "a", "array": "sample", "index": 0},
    "/kit/1/decide": {"id": "roof", "colour": "#112233", "why": "because"},
    "/kit/1/hint": {"id": "roof", "words": "dull green"},
    "/kit/1/build": {"paper": "a4"},
    "/kit/1/state": {"stage": "trial", "version": "2"},
    "/kit/1/add-list": {"file": "bench.csv"},
    "/kit/1/api/change": {},
    "/kit/1/api/undo": {},
    "/kit/1/api/redo": {},
    "/kit/1/api/upload": {},
    "/kit/1/api/add": {},
    "/kit/1/api/guide/write": {},
    "/kit/1/add-frame": {"video": "ride.mkv", "time": "0.5"},
}


@pytest.mark.parametrize("path", CHANGES)
@pytest.mark.parametrize("token", ["", "guessed", "ключ"])
def test_a_form_without_the_token_changes_nothing(opened, tmp_path, path, token):
    before = {p: p.read_bytes() for p in tmp_path.iterdir()}
    assert opened.post(path, token=token, **CHANGES[path]).status_code == 403
    assert {p: p.read_bytes() for p in tmp_path.iterdir()} == before


def test_every_change_is_tested_and_none_is_made_by_a_get(opened):
    rules = opened.client.application.url_map.iter_rules()
    changing = {rule.rule.replace("<int:number>", "1") for rule in rules if "POST" in (rule.methods or ())}
    assert changing - {"/kit/1/api/read", "/kit/1/api/mix"} == set(CHANGES)  # these only read
    for path in CHANGES:
        assert opened.client.get(path, headers={"Host": HOST}).status_code == 405


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/kit/1/out/../kit.toml",
        "/kit/1/out/%2e%2e%2fkit.toml",
        "/kit/1/out/kit.toml",
        "/kit/1/picture?id=../../etc/passwd",
        "/kit/1/picture?id=/etc/passwd",
        "/kit/0/",
        "/kit/2/",
        "/kit/-1/",
    ],
)
def test_no_path_leads_out(opened, tmp_path, path):
    (tmp_path / "out").mkdir()
    answer = opened.client.get(path, headers={"Host": HOST})
    assert answer.status_code == 404 and b"schema = 1" not in answer.data and b"root:" not in answer.data


def test_every_answer_forbids_foreign_content(opened):
    for page in (*PAGES, "/nothing"):
        headers = opened.get(page).headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy and "http" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff" and headers["Referrer-Policy"] == "same-origin"


def test_pages_hold_nothing_the_policy_would_stop(opened):
    asked = ("/kit/1/reference?id=a", "/kit/1/part?id=waist", "/kit/1/paints?colour=R1", "/kit/1/basket")
    for page in ("/", "/kit/1/", *asked):
        html = opened.get(page).get_data(as_text=True)
        assert " style=" not in html and "<style" not in html and " onclick" not in html
        assert "<script>" not in html
        assert not re.findall(r"""(?:src|href|action)=["'](?!/)(?!#)""", html)


def test_what_a_kit_says_is_text_not_markup(tmp_path):
    kit = small_kit(tmp_path)
    nasty = "<script>alert(1)</script>"
    kit.write_text(kit.read_text().replace('"Car 7"', f"'{nasty}'").replace('"Waist panels"', f"'{nasty}'"))
    made = browser(tmp_path)
    made.desk.open(tmp_path)
    for page in ("/kit/1/", "/kit/1/part?id=waist", "/kit/1/reference?id=a", "/kit/1/basket", "/kit/1/guide"):
        html = made.get(page).get_data(as_text=True)
        assert "<script>alert" not in html and "alert(1)" in html.replace("<wbr>", "")


def test_too_large_a_form_is_refused(opened, tmp_path):
    before = (tmp_path / "kit.toml").read_bytes()
    assert opened.post("/kit/1/hint", id="roof", words="x" * (2 << 20)).status_code == 413
    assert (tmp_path / "kit.toml").read_bytes() == before
