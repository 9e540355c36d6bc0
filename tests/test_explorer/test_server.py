"""The page's server: reached from this machine alone, with its secret; it shows no traceback."""

from __future__ import annotations

import http.client
import json
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import pytest
from click.testing import CliRunner

from fieldsim.cli import main
from fieldsim.errors import FieldsimError
from fieldsim.explorer import Room, page_server, reply
from fieldsim.explorer.server import LOOPBACK, MOST_BYTES, PageServer
from tests.farms import hand_farm

ROOM = Room(hand_farm(), "game", "usual", 3)


@pytest.fixture(scope="module")
def server() -> Iterator[PageServer]:
    with page_server(ROOM) as running:
        thread = threading.Thread(target=running.serve_forever)
        thread.start()
        yield running
        running.shutdown()
        thread.join()


def request(
    server: PageServer, method: str, path: str, body: str | None = None, **headers: str
) -> tuple[int, str, http.client.HTTPMessage]:
    """Status, text and headers of an answer; headers come with underscores for dashes."""
    connection = http.client.HTTPConnection(LOOPBACK, server.server_port, timeout=20)
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    connection.request(method, path, body, named)
    answer = connection.getresponse()
    text = answer.read().decode()
    connection.close()
    return answer.status, text, answer.headers


def ask(server: PageServer, body: str, **headers: str) -> tuple[int, str]:
    given = {"Content_Type": "application/json"} | headers
    status, text, _ = request(server, "POST", f"/{server.token}/ask", body, **given)
    assert "Traceback" not in text
    assert "File " not in text
    return status, text


def test_it_listens_on_the_loopback_address_alone(server: PageServer) -> None:
    assert server.server_address[0] == "127.0.0.1"
    assert server.address.startswith(f"http://127.0.0.1:{server.server_port}/")
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # sends nothing: it only tells which address would
        except OSError:
            pytest.skip("this machine has no address but loopback")
        own = probe.getsockname()[0]
    with pytest.raises(OSError, match=r".*"):
        socket.create_connection((own, server.server_port), timeout=2).close()


def test_the_front_is_sent_with_headers_that_keep_others_out(server: PageServer) -> None:
    for name, kind in (
        ("", "text/html"),
        ("page.js", "text/javascript"),
        ("front.js", "text/javascript"),
        ("style.css", "text/css"),
    ):
        status, text, headers = request(server, "GET", f"/{server.token}/{name}")
        assert (status, headers.get_content_type()) == (200, kind)
        assert text
        assert "default-src 'none'" in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize("name", ["nothing", "../server.py", "draw.js", "page.html", "ask"])
def test_what_is_not_the_front_is_not_there(server: PageServer, name: str) -> None:
    assert request(server, "GET", f"/{server.token}/{name}")[0] == 404


@pytest.mark.parametrize("token", ["", "wrong", "wrong/", "é/"])
def test_a_wrong_secret_is_refused(server: PageServer, token: str) -> None:
    path = f"/{quote(token)}"
    for method, body in (("GET", None), ("POST", "{}")):
        status, text, _ = request(server, method, path + "ask", body, **{"Content_Type": "x"})
        assert status == 403
        assert server.token not in text


def test_the_bare_secret_without_a_slash_is_refused(server: PageServer) -> None:
    assert request(server, "GET", f"/{server.token}")[0] == 403
    assert request(server, "GET", f"/{server.token[:-1]}/")[0] == 403


@pytest.mark.parametrize("host", ["example.com", "127.0.0.1", "127.0.0.1:1", "", "0.0.0.0:{port}"])
def test_another_name_for_the_machine_is_refused(server: PageServer, host: str) -> None:
    named = host.format(port=server.server_port)
    assert request(server, "GET", f"/{server.token}/", Host=named)[0] == 403
    assert ask(server, '{"question": "start"}', Host=named)[0] == 403


def test_this_machine_may_be_called_localhost(server: PageServer) -> None:
    host = f"localhost:{server.server_port}"
    assert ask(server, '{"question": "start"}', Host=host, Origin=f"http://{host}")[0] == 200


def test_a_question_from_another_page_is_refused(server: PageServer) -> None:
    for origin in ("http://example.com", "null", f"https://127.0.0.1:{server.server_port}"):
        assert ask(server, '{"question": "start"}', Origin=origin)[0] == 403


@pytest.mark.parametrize(
    "body",
    [
        "",
        "{",
        "[]",
        "3",
        '"start"',
        "\x00",
        "[" * 5000,
        "{}",
        '{"question": "weather"}',
        '{"question": ["start"]}',
        '{"question": "start", "given": 5}',
        '{"question": "answer", "given": {"rows": 7}}',
        '{"question": "answer", "given": {"hours": NaN}}',
        '{"question": "answer", "given": {"option": {}}}',
        '{"question": "game", "given": {"weeks": 3}}',
        '{"question": "game", "given": {"weeks": [3]}}',
        '{"question": "game", "given": {"weeks": [{"pray": 1}]}}',
        '{"question": "game", "given": {"weeks": [{"switch": "north"}]}}',
        '{"question": "game", "given": {"weeks": [{"switch": [[]]}]}}',
        '{"question": "game", "given": {"weeks": [{"first": []}]}}',
        '{"question": "game", "given": {"option": [], "seed": 1.5}}',
        '{"question": "game", "given": {"weeks": [{}, {}, {}, {}, {}, {}]}}',
    ],
)
def test_a_wrong_question_is_answered_with_what_is_wrong(server: PageServer, body: str) -> None:
    status, text = ask(server, body)
    assert status == 400
    faults = json.loads(text)["faults"]
    assert faults
    assert all(isinstance(fault, str) for fault in faults)


def test_a_question_must_say_that_it_is_json_and_how_long_it_is(server: PageServer) -> None:
    assert ask(server, "{}", Content_Type="text/plain")[0] == 415
    assert ask(server, "", Content_Length=str(MOST_BYTES + 1))[0] == 413
    assert ask(server, "", Content_Length="-1")[0] == 413


def spoken(server: PageServer, lines: list[str], body: str = "") -> str:
    """Return what the server answers to a request that no library would write."""
    sent = "\r\n".join([*lines, f"Host: {LOOPBACK}:{server.server_port}", "", body])
    with socket.create_connection((LOOPBACK, server.server_port), timeout=20) as connection:
        connection.sendall(sent.encode("latin-1"))
        connection.shutdown(socket.SHUT_WR)
        return b"".join(iter(lambda: connection.recv(65536), b"")).decode()


@pytest.mark.parametrize(
    ("headers", "body"),
    [
        ([f"Content-Length: {10**12}"], ""),
        ([f"Content-Length: {'9' * 5000}"], ""),
        (["Content-Length: 1e9"], ""),
        (["Transfer-Encoding: chunked"], "f4240\r\n" + "x" * 1_000_000 + "\r\n0\r\n\r\n"),
        ([], "x" * 1_000_000),
    ],
    ids=["1 TB", "5000 digits", "no number", "in pieces", "no length"],
)
def test_a_question_of_any_length_is_refused_unread(
    server: PageServer, headers: list[str], body: str, capfd: pytest.CaptureFixture[str]
) -> None:
    lines = [f"POST /{server.token}/ask HTTP/1.1", "Content-Type: application/json", *headers]
    try:
        answer = spoken(server, lines, body)
    except OSError:  # it has closed while more was sent, as it should
        assert body
    else:
        assert answer.startswith("HTTP/1.0 413 ")
    assert "Traceback" not in capfd.readouterr().err
    assert ask(server, '{"question": "start"}')[0] == 200


@pytest.mark.parametrize(
    "name",
    [
        *("../server.py", "..%2fserver.py", "%2e%2e/server.py", "..\\server.py", "....//server.py"),
        *("/etc/passwd", "%2fetc%2fpasswd", "front/../../server.py", "style.css/../../server.py"),
        *("page.html", "style.css%00", "style.css?../server.py", "\xff", "file:///etc/passwd"),
    ],
)
def test_no_path_leads_to_another_file(server: PageServer, name: str) -> None:
    for path in (f"/{server.token}/{name}", f"//{server.token}/{name}", f"/{name}", name):
        answer = spoken(server, [f"GET {path} HTTP/1.1"])
        assert answer[:13] in ("HTTP/1.0 404 ", "HTTP/1.0 403 "), (path, answer[:200])
        assert "root:" not in answer
        assert "import" not in answer


def test_a_failure_of_the_program_says_no_more_than_that(
    server: PageServer, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def fails(*_: object) -> Any:
        raise RuntimeError("a secret place")

    monkeypatch.setattr("fieldsim.explorer.server.reply", fails)
    status, text = ask(server, '{"question": "start"}')
    assert status == 500
    assert "a secret place" not in text
    assert "a secret place" in capfd.readouterr().err


def test_an_answer_is_that_of_the_room(server: PageServer) -> None:
    given = {"option": "usual", "seed": 3, "weeks": [{"helpers": 1}]}
    status, text = ask(server, json.dumps({"question": "game", "given": given}))
    assert status == 200
    assert json.loads(text) == reply(ROOM, "game", given)
    assert json.loads(ask(server, '{"question": "start"}')[1])["seed"] == 3


def test_every_run_has_its_own_secret() -> None:
    with page_server(ROOM) as one, page_server(ROOM) as other:
        assert one.token != other.token
        assert len(one.token) >= 32
        with pytest.raises(FieldsimError, match="cannot be used"):
            page_server(ROOM, one.server_port)


def test_the_command_says_where_and_ends_with_ctrl_c() -> None:
    words = [sys.executable, "-m", "fieldsim", "game", "--seed", "7"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        assert run.stdout.readline().startswith("Open http://127.0.0.1:")
        assert "Only this machine" in run.stdout.readline()
        run.stdout.readline()
        run.send_signal(signal.SIGINT)
        rest, errors = run.communicate(timeout=20)
    assert (run.returncode, errors) == (0, "")
    assert "Ended." in rest


def test_the_leader_can_see_the_weeks_beforehand() -> None:
    result = CliRunner().invoke(main, ["game", "--seed", "7", "--reveal"])
    assert result.exit_code == 0, result.output
    assert "29 Apr to 5 May" in result.output
    assert "plans tried with hindsight" in result.output


@pytest.mark.parametrize(
    "words",
    [["game", "--option", "ten_rows"], ["explore", "no_farm.toml"], ["game", "--seed", "-1"]],
)
def test_wrong_words_end_with_status_2_and_no_traceback(words: list[str]) -> None:
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 2
    assert "1 fault." in result.output
