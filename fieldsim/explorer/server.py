"""The page's host: a small server that only this machine can reach."""

from __future__ import annotations

import json
import secrets
import sys
from collections.abc import Callable
from hmac import compare_digest
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from fieldsim.errors import FieldsimError, InputError
from fieldsim.explorer.front import FOLDER, front_script, front_style
from fieldsim.explorer.questions import Room, reply

__all__ = ["LOOPBACK", "PageServer", "page_server"]

LOOPBACK = "127.0.0.1"
MOST_BYTES = 100_000  # of a question
PATIENCE = 30.0  # seconds that a connection may be silent
HTML, SCRIPT, STYLE, JSON, PLAIN = (
    f"{kind}; charset=utf-8"
    for kind in ("text/html", "text/javascript", "text/css", "application/json", "text/plain")
)
HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "connect-src 'self'; img-src data:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
}


class PageServer(ThreadingHTTPServer):
    """A server of one room on this machine alone.

    Parameters
    ----------
    room : Room
    port : int
        0: any that is free.
    """

    daemon_threads = True

    def __init__(self, room: Room, port: int) -> None:
        self.room = room
        self.token = secrets.token_urlsafe(24)
        super().__init__((LOOPBACK, port), PageHandler)

    @property
    def address(self) -> str:
        """The address to open, with its secret."""
        return f"http://{LOOPBACK}:{self.server_port}/{self.token}/"

    @property
    def hosts(self) -> tuple[str, str]:
        """What a browser on this machine calls the server; another name comes from elsewhere."""
        return f"{LOOPBACK}:{self.server_port}", f"localhost:{self.server_port}"

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Keep quiet about a browser that has gone away."""
        if not isinstance(sys.exception(), ConnectionError | TimeoutError):
            super().handle_error(request, client_address)


def page_server(room: Room, port: int = 0) -> PageServer:
    """Return a server for a room, ready to `serve_forever`.

    It listens on the loopback address only, answers only under a path that begins with a secret
    drawn for this run, and only to requests that name it as this machine does, so that neither
    another machine nor another page in the browser can ask it anything.

    Parameters
    ----------
    room : Room
    port : int
        0: any that is free.

    Returns
    -------
    PageServer

    Raises
    ------
    FieldsimError
        If the port cannot be had.
    """
    try:
        return PageServer(room, port)
    except (OSError, OverflowError) as error:
        reason = getattr(error, "strerror", None) or error
        raise FieldsimError(f"port {port} cannot be used ({reason}); try --port 0") from None


class PageHandler(BaseHTTPRequestHandler):
    """Answers one request: a file of the front, or a question."""

    server: PageServer
    server_version = "fieldsim"
    sys_version = ""
    timeout = PATIENCE

    def do_GET(self) -> None:
        """Send a file of the front."""
        files: dict[str, tuple[str, Callable[[], str]]] = {
            "": (HTML, lambda: (FOLDER / "page.html").read_text(encoding="utf-8")),
            "page.js": (SCRIPT, lambda: (FOLDER / "page.js").read_text(encoding="utf-8")),
            "front.js": (SCRIPT, front_script),
            "style.css": (STYLE, front_style),
        }
        name = self._name()
        if name is None:
            return
        if name not in files:
            self._send(404, PLAIN, "There is no such page.")
            return
        kind, read = files[name]
        self._send(200, kind, read())

    def do_POST(self) -> None:
        """Answer a question, which comes as JSON."""
        name = self._name()
        if name is None:
            return
        if name != "ask":
            self._send(404, PLAIN, "There is no such page.")
            return
        asked = self._asked()
        if asked is None:
            return
        try:
            found = reply(self.server.room, asked.get("question"), asked.get("given", {}))
            text = json.dumps(found, allow_nan=False)
        except InputError as error:
            self._faults(400, *map(str, error.faults))
        except Exception as error:  # whoever looks at the page is told no more than this
            self.log_error("%s: %s", type(error).__name__, error)
            self._faults(500, "The program has failed; what it says stands in its window.")
        else:
            self._send(200, JSON, text)

    def _asked(self) -> dict[str, Any] | None:
        """Return the question sent; None, once it is refused, for what is none."""
        if self.headers.get_content_type() != "application/json":
            self._faults(415, "A question comes as application/json.")
            return None
        length = self.headers.get("Content-Length", "")
        short = length.isdecimal() and len(length) <= len(str(MOST_BYTES))  # Python reads no others
        if not short or int(length) > MOST_BYTES:
            self.close_connection = True
            self._faults(413, f"A question has a Content-Length of at most {MOST_BYTES} bytes.")
            return None
        try:
            asked = json.loads(self.rfile.read(int(length)))
        except (ValueError, RecursionError):
            self._faults(400, "The question is not JSON.")
            return None
        if not isinstance(asked, dict):
            self._faults(400, "A question is a table with question and given.")
            return None
        return asked

    def _name(self) -> str | None:
        """Return the name asked for, behind the secret; None, once it is refused."""
        host, origin = self.headers.get("Host", ""), self.headers.get("Origin")
        token, slash, name = self.path.removeprefix("/").partition("/")
        known = host in self.server.hosts and origin in (None, f"http://{host}")
        if known and slash and compare_digest(token.encode(), self.server.token.encode()):
            return name
        self.close_connection = True  # what else was sent is not read
        self._send(403, PLAIN, "Open the address that the program has printed.")
        return None

    def _faults(self, status: int, *faults: str) -> None:
        self._send(status, JSON, json.dumps({"faults": faults}))

    def _send(self, status: int, kind: str, text: str) -> None:
        body = text.encode()
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        for name, value in HEADERS.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)

    def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
        """Write nothing: the path holds the secret."""
