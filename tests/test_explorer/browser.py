"""A headless Chromium driven over its own pipes, with nothing but the standard library."""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import time
from pathlib import Path
from types import TracebackType
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
PATIENCE = 30.0  # seconds


def chromium() -> str | None:
    """Path of a Chromium on this machine; None if there is none."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


class Browser:
    """A page of a headless Chromium: commands of the DevTools protocol go through two pipes."""

    def __init__(self, program: str, profile: Path, width: int = 1280, height: int = 900) -> None:
        ours_in, self._write = os.pipe()
        self._read, ours_out = os.pipe()
        self._number, self._rest, self.errors = 0, b"", []
        words = [
            *(program, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run"),
            *("--remote-debugging-pipe", f"--user-data-dir={profile}", "--disable-dev-shm-usage"),
            *(f"--window-size={width},{height}", "--hide-scrollbars", "about:blank"),
        ]

        def pipes() -> None:
            first, second = os.dup(ours_in), os.dup(ours_out)
            os.dup2(first, 3)
            os.dup2(second, 4)

        self._process = subprocess.Popen(
            words,
            preexec_fn=pipes,
            pass_fds=(3, 4),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(ours_in)
        os.close(ours_out)
        target = self.send("Target.createTarget", url="about:blank")["targetId"]
        attached = self.send("Target.attachToTarget", targetId=target, flatten=True)
        self._session: str | None = attached["sessionId"]
        size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.send("Emulation.setDeviceMetricsOverride", **size)
        for room in ("Page", "Runtime", "Log", "Network"):
            self.send(f"{room}.enable")

    _session: str | None = None
    errors: list[str]

    def __enter__(self) -> Browser:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self._process.terminate()
        self._process.wait(PATIENCE)
        os.close(self._write)
        os.close(self._read)

    def send(self, method: str, **params: Any) -> dict[str, Any]:
        """Send a command, and return its result."""
        self._number += 1
        number = self._number
        command: dict[str, Any] = {"id": number, "method": method, "params": params}
        if self._session is not None:
            command["sessionId"] = self._session
        os.write(self._write, json.dumps(command).encode() + b"\0")
        end = time.monotonic() + PATIENCE
        while True:
            message = self._next(end)
            if message.get("id") == number:
                assert "error" not in message, message
                return dict(message["result"])
            self._note(message)

    def _next(self, end: float) -> dict[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._read], [], [], max(0.0, end - time.monotonic()))
            assert ready, "the browser does not answer"
            read = os.read(self._read, 1 << 20)
            assert read, "the browser has ended"
            self._rest += read
        text, _, self._rest = self._rest.partition(b"\0")
        return dict(json.loads(text))

    def _note(self, message: dict[str, Any]) -> None:
        """Keep what the page complains of."""
        params = message.get("params", {})
        if message.get("method") == "Runtime.exceptionThrown":
            self.errors.append(json.dumps(params["exceptionDetails"])[:600])
        if message.get("method") == "Log.entryAdded" and params["entry"]["level"] == "error":
            self.errors.append(params["entry"]["text"])

    def open(self, address: str) -> None:
        self.send("Page.navigate", url=address)

    def run(self, script: str) -> Any:
        """Return the value of a script in the page, waited for if it is a promise."""
        found = self.send(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True
        )
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def wait(self, script: str, patience: float = PATIENCE) -> Any:
        """Return the value of a script once it is true."""
        end = time.monotonic() + patience
        while time.monotonic() < end:
            value = self.run(f"(() => {{ try {{ return {script} }} catch {{ return null }} }})()")
            if value:
                return value
            time.sleep(0.05)
        raise AssertionError(f"never true: {script}; errors: {self.errors}")

    def click(self, selector: str, text: str = "") -> None:
        """Click with the mouse on the first element of a selector that holds a text."""
        find = (
            f"[...document.querySelectorAll({selector!r})]"
            f".find((part) => part.textContent.includes({text!r}))"
        )
        self.wait(f"Boolean({find})")
        self.run(f"{find}.scrollIntoView({{block: 'center'}})")
        box = self.run(f"(() => {{ const b = {find}.getBoundingClientRect();"
                       " return [b.x + b.width / 2, b.y + b.height / 2]; })()")  # fmt: skip
        at = {"x": box[0], "y": box[1], "button": "left", "clickCount": 1}
        for kind in ("mousePressed", "mouseReleased"):
            self.send("Input.dispatchMouseEvent", type=kind, **at)

    def press(self, key: str, times: int = 1) -> None:
        """Press a key on whatever has the focus."""
        codes = {"ArrowRight": 39, "ArrowLeft": 37, "Tab": 9, "Enter": 13}
        for _ in range(times):
            for kind in ("keyDown", "keyUp"):
                code = codes[key]
                self.send("Input.dispatchKeyEvent", type=kind, key=key, code=key,
                          windowsVirtualKeyCode=code)  # fmt: skip

    def picture(self, path: Path) -> None:
        """Write a picture of the whole page."""
        shot = self.send("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        path.write_bytes(base64.b64decode(shot["data"]))
