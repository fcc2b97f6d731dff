"""A server of a test's own: starts `lengthwise serve` on a book of its own, asks it, stops it."""
import contextlib
import http.client
import json
import os
import pathlib
import re
import signal
import socket
import subprocess
import tempfile

PROGRAM = os.environ.get("LW_PROGRAM", "")
EXAMPLES = pathlib.Path(os.environ.get("LW_SOURCE", "."), "examples")
MEMORY = "/dev/shm"  # waits for no disk
API = "/api/v1"


def folder():
    return tempfile.TemporaryDirectory(dir=MEMORY if os.access(MEMORY, os.W_OK) else None)


class Answer:
    def __init__(self, response):
        self.status, self.headers, self.body = response.status, response.headers, response.read()

    @property
    def json(self):
        return json.loads(self.body)

    @property
    def etag(self):
        return self.headers["ETag"]

    def __repr__(self):
        return f"{self.status} {self.body[:600]!r}"


class Server:
    """Running within `with`. Port 0 takes one that is free just now, and the next where it is not any more."""

    def __init__(self, book, *words, port=0, environment=None):
        self.book = pathlib.Path(book)
        self.words = [PROGRAM, "serve", "--no-open", "--book", str(book), *map(str, words)]
        self.wanted = port or free_port()
        self.environment = environment

    def __enter__(self):
        self.start()
        return self

    def __exit__(self, kind, *_):
        """Whoever was not killed ends well and has said nothing of its own, such as a sanitizer's report."""
        running = self.process.poll() is None
        code, said = (self.stop(), self.process.stderr.read()) if running else (0, "")
        self.process.stdout.close()
        self.process.stderr.close()
        if kind is None and (code or said):
            raise RuntimeError(f"{self.words} ended with {code}: {said}")

    def start(self):
        self.process = subprocess.Popen([*self.words, "--port", str(self.wanted)], stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, text=True, env=self.environment)
        self.said = ""
        for line in self.process.stdout:
            self.said += line
            if line.startswith("Whoever"):
                break
        else:
            raise RuntimeError(f"{self.said}{self.process.stderr.read()}")
        link = re.search(r"^Open: (http://((\w+)\.localhost:(\d+))/open\?secret=(\w+))$", self.said, re.M)
        self.link, self.host, self.label, port, self.secret = link.groups()
        self.port = int(port)
        self.cookie = f"lengthwise-{port}={self.secret}"

    def stop(self, how=signal.SIGTERM):
        self.process.send_signal(how)
        return self.process.wait(300)

    def connect(self, timeout=30):
        return socket.create_connection(("127.0.0.1", self.port), timeout=timeout)

    @contextlib.contextmanager
    def talk(self):
        """A connection that stays for several requests."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=300)
        try:
            yield connection
        finally:
            connection.close()

    def ask(self, method, path, body=None, headers=None, on=None, **more):
        """The answer to one request with the secret. body: text or bytes as they are, anything else as JSON. A header of
        None is left out."""
        if on is None:
            with self.talk() as on:
                return self.ask(method, path, body, headers, on, **more)
        sent = {"Host": self.host, "Cookie": self.cookie}
        if body is not None and not isinstance(body, (str, bytes)):
            body = json.dumps(body)
        if body is not None:
            sent["Content-Type"] = "application/json"
        sent.update(headers or {})
        on.request(method, path, body.encode() if isinstance(body, str) else body,
                   {name: value for name, value in sent.items() if value is not None})
        return Answer(on.getresponse())

    def api(self, method, path, *rest, **more):
        return self.ask(method, API + path, *rest, **more)

    def raw(self, *lines, body=b"", timeout=30):
        """What comes back for these very lines until the connection ends."""
        with self.connect(timeout) as line:
            line.sendall("\r\n".join([*lines, "", ""]).encode() + body)
            return everything(line)


def everything(line):
    found = b""
    with contextlib.suppress(ConnectionResetError):
        while piece := line.recv(65536):
            found += piece
    return found


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def plan(title="Bob", cm=10.0):
    return json.dumps({"format": "lengthwise plan", "version": 1, "units": "cm", "title": title,
                       "steps": [{"section": "all", "guide": {"length": cm}}]})
