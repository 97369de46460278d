"""A text gateway on this machine: an HTTP server that remembers what it was given."""

import json
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


class TextGateway:
    """Counts requests by key; `answers` are given first, one a request, then 202 to everything."""

    def __init__(self, seconds: float = 0) -> None:
        self.seconds = seconds
        self.keys: Counter[str] = Counter()
        self.bodies: list[dict] = []
        self.answers: list[int] = []
        self.url = ""

    def wait_for(self, n_keys: int, seconds: float = 60) -> None:
        """Wait until so many different texts have come in."""
        deadline = time.monotonic() + seconds
        while len(self.keys) < n_keys:
            assert time.monotonic() < deadline, f"{len(self.keys)} of {n_keys} texts came in within {seconds} s"
            time.sleep(0.02)


@contextmanager
def text_gateway(seconds: float = 0) -> Iterator[TextGateway]:
    """Keep a gateway that takes `seconds` for each text."""
    gateway = TextGateway(seconds)

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
            answer = gateway.answers.pop(0) if gateway.answers else 202
            if answer == 202:
                gateway.keys[self.headers["Idempotency-Key"]] += 1
                gateway.bodies.append(body)
            time.sleep(gateway.seconds)
            self.send_response(answer)
            self.end_headers()

        def log_message(self, *_args) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    gateway.url = f"http://127.0.0.1:{server.server_port}/texts"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield gateway
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
