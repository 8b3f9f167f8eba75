"""An editor that talks to a TOML language server over its standard streams (Language Server Protocol 3.17)."""

import json
import subprocess
from pathlib import Path
from threading import Timer
from time import sleep
from types import TracebackType
from typing import Any


class Editor:
    """A session with a language server in a folder; ends with the `with` block."""

    def __init__(self, command: list[str], folder: Path) -> None:
        self._folder = folder
        self._asked = 0
        self._server = subprocess.Popen(
            command, cwd=folder, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )

        self._patience = Timer(60, self._server.kill)

    def __enter__(self) -> "Editor":
        self._patience.start()
        abilities = {"textDocument": {"completion": {}, "hover": {"contentFormat": ["markdown"]}}}
        self._ask("initialize", {"processId": None, "rootUri": self._folder.as_uri(), "capabilities": abilities})
        self._send({"method": "initialized", "params": {}})
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._patience.cancel()
        self._server.kill()
        self._server.wait()
        for stream in (self._server.stdin, self._server.stdout):
            if stream is not None:
                stream.close()

    def open(self, file: Path) -> None:
        document = {"uri": file.as_uri(), "languageId": "toml", "version": 1, "text": file.read_text("utf-8")}
        self._send({"method": "textDocument/didOpen", "params": {"textDocument": document}})

    def completions(self, file: Path, line: int, column: int) -> list[str]:
        """What is offered at a line and column, both from 0."""
        answer = self._at("completion", file, line, column)
        items = answer["items"] if isinstance(answer, dict) else answer
        return [item["label"] for item in items or []]

    def hover(self, file: Path, line: int, column: int) -> str:
        """What is shown over a line and column, both from 0."""
        answer = self._at("hover", file, line, column)
        return str(answer["contents"]) if answer else ""

    def _at(self, what: str, file: Path, line: int, column: int) -> Any:
        position = {"line": line, "character": column}
        for _ in range(50):  # the server answers at once, with nothing, while it is still reading the document
            answer = self._ask(f"textDocument/{what}", {"textDocument": {"uri": file.as_uri()}, "position": position})
            if answer:
                return answer
            sleep(0.1)
        return None

    def _ask(self, method: str, params: dict[str, Any]) -> Any:
        self._asked += 1
        self._send({"id": self._asked, "method": method, "params": params})
        while True:
            message = self._receive()
            if "method" not in message and message.get("id") == self._asked:
                return message.get("result")
            if "method" in message and "id" in message:
                self._send({"id": message["id"], "result": None})

    def _send(self, message: dict[str, Any]) -> None:
        assert self._server.stdin is not None
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self._server.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
        self._server.stdin.flush()

    def _receive(self) -> dict[str, Any]:
        assert self._server.stdout is not None
        length = 0
        while line := self._server.stdout.readline().strip():
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        assert length, "the language server has gone"
        message: dict[str, Any] = json.loads(self._server.stdout.read(length))
        return message
