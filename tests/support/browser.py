"""A real browser for the browser tests: Debian's Chromium driven by Playwright.

Chromium is told not to look for anything on the network, so a test page is all it ever asks for.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

from tests.support.needs import browser_program

FLAGS = (
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
DESKTOP: ViewportSize = {"width": 1280, "height": 900}
PHONE: ViewportSize = {"width": 320, "height": 640}


@contextmanager
def open_browser() -> Iterator[Browser]:
    """Keep one headless browser open; root may only run it without Chromium's own sandbox."""
    flags = [*FLAGS, "--no-sandbox"] if os.getuid() == 0 else list(FLAGS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browser_program(), headless=True, args=flags)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def open_page(browser: Browser, size: ViewportSize) -> Iterator[Page]:
    """Keep one page open with an empty history; anything that breaks on it breaks the test.

    That is: an error in a script, a message of the browser's console at level "error" (a
    refused script, a missing file), or a request to any other host than the page's own.
    """
    context = browser.new_context(viewport=size, locale="en-GB", timezone_id="Europe/London")
    context.set_default_timeout(10_000)
    page, troubles = context.new_page(), []
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    page.on("console", lambda message: troubles.append(message.text) if message.type == "error" else None)
    page.on("request", lambda request: troubles.append(f"asks {request.url}") if is_outside(request.url) else None)
    try:
        yield page
    finally:
        context.close()
    assert troubles == []


def is_outside(url: str) -> bool:
    """Say whether a request leaves this machine."""
    return not url.startswith(("http://localhost:", "http://127.0.0.1:", "data:", "blob:", "about:"))
