"""`make pictures`: the pictures of the README, taken of the demo as it is today."""

import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import FloatRect, Page

from tests.support.browser import open_browser, open_page

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "docs" / "pictures"
PORT = 8351
ADDRESS = f"http://127.0.0.1:{PORT}"
PERSON = "Marchwick"  # a plate held at its gate: the ladder and the year at their fullest


def main() -> None:
    """Fill a demo of its own, take the pictures, and leave nothing behind."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        settings = {**os.environ, "DATABASE_URL": f"sqlite:///{folder}/pictures.sqlite3"}
        manage(settings, "demo", "--no-serve")
        with served(settings), open_browser() as browser:
            with open_page(browser, {"width": 1280, "height": 900}) as page:
                sign_in(page)
                take(page, f"{ADDRESS}/", "front-desk", until="#not-arrived")
                take(page, episode_of(page), "episode", until="#to-settle")
            print_sheet(settings, folder)
    for path in sorted(PICTURES.glob("*.png")):
        print(f"{path.relative_to(ROOT)}: {path.stat().st_size // 1024} kB")


def manage(settings: dict[str, str], *words: str) -> None:
    """Run a command of the clinic on the pictures' own database."""
    subprocess.run([sys.executable, "manage.py", *words], cwd=ROOT, env=settings, check=True)


@contextmanager
def served(settings: dict[str, str]):
    """Keep the pages served while the pictures are taken."""
    command = [sys.executable, "manage.py", "runserver", f"127.0.0.1:{PORT}", "--noreload"]
    server = subprocess.Popen(command, cwd=ROOT, env=settings, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        wait_for(f"{ADDRESS}/sign-in")
        yield
    finally:
        server.terminate()
        server.wait(timeout=20)


def wait_for(address: str) -> None:
    """Wait until the pages answer, at most a minute."""
    for _ in range(120):
        try:
            urllib.request.urlopen(address, timeout=2).close()
        except OSError:
            time.sleep(0.5)
        else:
            return
    raise TimeoutError(f"{address} does not answer")


def sign_in(page: Page) -> None:
    """Sign in as the demo's surgeon."""
    page.goto(f"{ADDRESS}/sign-in")
    page.fill("input[name=username]", "miriam")
    page.fill("input[name=password]", "try-the-demo")
    with page.expect_navigation():
        page.keyboard.press("Enter")


def episode_of(page: Page) -> str:
    """Find the episode page of the person in the picture."""
    page.goto(f"{ADDRESS}/patients?q={PERSON}")
    href = page.locator("main a[href*='/episodes/']").first.get_attribute("href")
    return f"{ADDRESS}{href}"


def take(page: Page, address: str, name: str, *, until: str) -> None:
    """Take one page from its top down to where a part begins."""
    page.goto(address)
    part = page.locator(until).first
    box = part.bounding_box() if part.count() else None
    height = round(box["y"]) - 8 if box and box["y"] > 600 else 1500
    clip: FloatRect = {"x": 0, "y": 0, "width": 1280, "height": min(height, 1500)}
    page.screenshot(path=PICTURES / f"{name}.png", clip=clip, full_page=True)


def print_sheet(settings: dict[str, str], folder: str) -> None:
    """Print a sheet of a course file, and keep its first page as a picture."""
    course, paper = "fixtures_demo/courses/case_03.json", f"{folder}/sheet.pdf"
    manage(settings, "print_sheet", course, "--out", paper, "--size", "12.5")
    stem = str(PICTURES / "sheet")
    subprocess.run(["pdftoppm", "-r", "80", "-f", "1", "-l", "1", "-png", "-singlefile", paper, stem], check=True)


if __name__ == "__main__":
    main()
