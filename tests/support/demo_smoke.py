"""`make demo` from a clean copy, used as a person would: sign in, open an episode, fetch its sheet, stop.

Clones this checkout's last commit into a temporary folder, so what is not committed is not there.
Nothing but the standard library, because that is all a fresh machine has.
"""

import http.cookiejar
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.parse
import urllib.request
from contextlib import contextmanager, suppress
from html.parser import HTMLParser
from pathlib import Path

from tests.support.with_services import die_with_parent, free_port

ROOT = Path(__file__).resolve().parents[2]
INSTALL_AND_START_SECONDS = 600
STOP_SECONDS = 30
EPISODE = re.compile(r"/episodes/[0-9a-f-]{36}/?$")
SHEET = re.compile(r"/sheet\.pdf$")


class Smoke(Exception):
    """The demo did not do what a person would expect; the message says what."""


def main() -> int:
    """Go through the demo once; 0 when all of it worked."""
    with tempfile.TemporaryDirectory(prefix="ff-demo-") as folder:
        clone = Path(folder) / "firm-footing"
        subprocess.run(["git", "clone", "--quiet", str(ROOT), str(clone)], check=True, stdin=subprocess.DEVNULL)
        try:
            use_demo(clone, Path(folder) / "said.txt")
        except (Smoke, urllib.error.URLError, OSError) as fault:
            print(f"make demo: {fault}\n--- it said:\n{(Path(folder) / 'said.txt').read_text()[-4000:]}")
            return 1
    return 0


def use_demo(clone: Path, said: Path) -> None:
    """Start the demo, walk through it and stop it."""
    port, started = free_port(), time.monotonic()
    with running_demo(clone, said, port) as demo:
        wait_until_healthy(demo, port)
        print(f"answers {time.monotonic() - started:.1f} s after `make demo` in an empty copy", flush=True)
        visitor = Visitor(f"http://127.0.0.1:{port}")
        name, password = first_login(said.read_text())
        visitor.sign_in(name, password)
        print(f"signed in as {name}", flush=True)
        episode, page = first_with_sheet(visitor)
        if not re.search(r"\b(LEFT|RIGHT)\b", page, re.IGNORECASE):
            raise Smoke(f"{episode} does not name the side")
        print(f"opened {urllib.parse.urlsplit(episode).path}", flush=True)
        pdf = visitor.fetch(visitor.first_link(SHEET, "a sheet"))
        if not pdf.startswith(b"%PDF-"):
            raise Smoke(f"the sheet is no PDF: it begins with {pdf[:60]!r}")
        print(f"fetched its sheet, {len(pdf):,} bytes of PDF", flush=True)
    if is_answering(port):
        raise Smoke("still answers after it was stopped")
    print("stopped, and nothing answers any more", flush=True)


def first_with_sheet(visitor: "Visitor") -> tuple[str, str]:
    """Open the first episode that has a sheet: a person out of scope has none, and may stand on top."""
    episodes = visitor.links(EPISODE, "an episode")
    for episode in episodes:
        page = visitor.get(episode)
        if visitor.has_link(SHEET):
            return episode, page
    raise Smoke(f"none of {len(episodes)} episodes links to a sheet")


@contextmanager
def running_demo(clone: Path, said: Path, port: int):
    """Keep `make demo` running in a group of its own, and stop it as Ctrl-C does."""
    environment = {**os.environ, "PORT": str(port)}
    for name in ("DATABASE_URL", "REDIS_URL", "MAKEFLAGS", "MAKELEVEL"):
        environment.pop(name, None)
    with said.open("wb") as output:
        demo = subprocess.Popen(
            ["make", "demo"],
            cwd=clone,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            start_new_session=True,
            preexec_fn=die_with_parent,
        )
        try:
            yield demo
        finally:
            with suppress(ProcessLookupError):  # it may have ended by itself
                os.killpg(demo.pid, signal.SIGINT)
            try:
                demo.wait(timeout=STOP_SECONDS)
            except subprocess.TimeoutExpired:
                os.killpg(demo.pid, signal.SIGKILL)
                raise Smoke(f"did not stop within {STOP_SECONDS} s of Ctrl-C") from None


def wait_until_healthy(demo: subprocess.Popen[bytes], port: int) -> None:
    """Wait for the health page, or say that the command ended first."""
    deadline = time.monotonic() + INSTALL_AND_START_SECONDS
    while not is_answering(port):
        if demo.poll() is not None:
            raise Smoke(f"ended with exit code {demo.returncode} before it answered")
        if time.monotonic() > deadline:
            raise Smoke(f"did not answer within {INSTALL_AND_START_SECONDS} s")
        time.sleep(0.2)


def is_answering(port: int) -> bool:
    """Say whether the health page says that all is well."""
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz", timeout=5) as answer:
            return answer.status == 200
    except OSError:
        return False


def first_login(said: str) -> tuple[str, str]:
    """Find the clerk's name and password in what the demo printed."""
    found = re.search(r"^.*\bclerk\b.*$", said, re.IGNORECASE | re.MULTILINE)
    if not found:
        raise Smoke("printed no login for a clerk")
    words = found.group(0).split()
    return words[-2], words[-1]


class Visitor:
    """A browser without a face: keeps cookies, follows links, sends forms."""

    def __init__(self, address: str) -> None:
        """Begin at an address."""
        self.address, self.page, self.at = address, "", address
        jar = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        self.opener = urllib.request.build_opener(jar)

    def fetch(self, url: str, form: dict[str, str] | None = None) -> bytes:
        """Fetch a page, or send a form to it."""
        data = urllib.parse.urlencode(form).encode() if form else None
        request = urllib.request.Request(url, data, {"Referer": self.at})
        with self.opener.open(request, timeout=60) as answer:
            self.at = answer.url
            return answer.read()

    def get(self, url: str, form: dict[str, str] | None = None) -> str:
        """Fetch a page and keep it as the one we look at."""
        self.page = self.fetch(url, form).decode()
        return self.page

    def sign_in(self, name: str, password: str) -> None:
        """Fill in the sign-in form that an unknown visitor is shown."""
        fields = inputs(self.get(f"{self.address}/"))
        kinds = {kind: field for field, (kind, _) in fields.items()}
        if "password" not in kinds:
            raise Smoke(f"{self.at} shows no sign-in form")
        form = {field: value for field, (_, value) in fields.items()}
        form |= {kinds["text"]: name, kinds["password"]: password}
        self.get(self.at, form)
        if "password" in {kind for kind, _ in inputs(self.page).values()}:
            raise Smoke(f"{name} was not let in")

    def first_link(self, wanted: re.Pattern[str], what: str) -> str:
        """Find the first link of the page that looks like this."""
        return self.links(wanted, what)[0]

    def links(self, wanted: re.Pattern[str], what: str) -> list[str]:
        """Find every link of the page that looks like this, each once."""
        links = re.findall(r'href="([^"]+)"', self.page)
        found = [link for link in links if wanted.search(link.split("?")[0])]
        if not found:
            raise Smoke(f"{self.at} links to no page that looks like {what}; it links to {sorted(set(links))}")
        return list(dict.fromkeys(urllib.parse.urljoin(self.at, link.replace("&amp;", "&")) for link in found))

    def has_link(self, wanted: re.Pattern[str]) -> bool:
        """Say whether any link of the page looks like this."""
        return any(wanted.search(link.split("?")[0]) for link in re.findall(r'href="([^"]+)"', self.page))


def inputs(page: str) -> dict[str, tuple[str, str]]:
    """Return the named inputs of a page: name to (type, value)."""
    found: dict[str, tuple[str, str]] = {}

    class Reader(HTMLParser):
        def handle_starttag(self, tag, attrs):
            """Keep an input with a name."""
            said = dict(attrs)
            if tag == "input" and said.get("name"):
                found[said["name"]] = (said.get("type") or "text", said.get("value") or "")

    Reader().feed(page)
    return found


if __name__ == "__main__":
    sys.exit(main())
