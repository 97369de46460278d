"""HTML to an accessible PDF: the only lines of the program that call WeasyPrint."""

import atexit
import logging
import threading
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils.translation import gettext

from clinic.documents.faces import face_rules

STYLE = Path(settings.BASE_DIR) / "templates" / "handouts" / "sheet.css"
NOT_ONE_LETTER = ".notdef glyph"
INSTALL = "sudo apt-get install -y --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
_one_at_a_time = threading.Lock()  # Pango's font map is shared and is not made for two threads


class PdfIsOff(RuntimeError):
    """The libraries that lay out text are not on this machine; the message says how to get them."""

    def __str__(self) -> str:
        """Say what is off, and the one command that switches it on."""
        off = gettext("PDF sheets are off: the Pango library is missing. Everything else runs. To switch them on:")
        return f"{off} {INSTALL}"


class FaultySheet(RuntimeError):
    """The sheet was not printed, because part of it would be wrong or missing on paper."""


class Complaints(logging.Handler):
    """Collects what WeasyPrint would only log: every error, and every letter no face can draw."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep an error, or a missing letter."""
        line = record.getMessage()
        if record.levelno >= logging.ERROR or NOT_ONE_LETTER in line:
            self.lines.append(line)


def pdf_bytes(html: str, page_rules: str = "") -> bytes:
    """Print HTML as PDF/UA-1. The same HTML gives the same bytes.

    Nothing outside the document is fetched. Raises PdfIsOff without Pango, and FaultySheet
    rather than return a paper with an unreadable letter, an untold picture or a refused address.
    """
    weasyprint = load_weasyprint()
    complaints = Complaints()
    logger = logging.getLogger("weasyprint")
    with _one_at_a_time:
        logger.addHandler(complaints)
        try:
            pdf = render(weasyprint, html, page_rules)
        finally:
            logger.removeHandler(complaints)
    if complaints.lines:
        raise FaultySheet(
            gettext("The sheet was not printed, because part of it would be wrong:") + " " + "; ".join(complaints.lines)
        )
    return pdf


def render(weasyprint: Any, html: str, page_rules: str) -> bytes:
    """Lay the document out with the shared style and faces."""
    style, fonts, fetcher = workshop()
    page = weasyprint.CSS(string=page_rules, font_config=fonts, url_fetcher=fetcher)
    document = weasyprint.HTML(string=space_inside(html), url_fetcher=fetcher)
    return document.write_pdf(stylesheets=[style, page], font_config=fonts, pdf_variant="pdf/ua-1")


def space_inside(html: str) -> str:
    """Move the space before bold words into them.

    WeasyPrint 70 sometimes ends a line after its first word when a space stands before an inline
    element. Seen in about one line of two hundred; with the space inside, in none of two thousand.
    """
    return html.replace(" <strong>", "<strong> ")


@cache
def workshop() -> tuple[Any, Any, Any]:
    """The parsed style, the faces and the fetcher, made once a process."""
    weasyprint = load_weasyprint()
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher

    fonts = FontConfiguration()
    atexit.register(workshop.cache_clear)  # its folder of faces is removed while Python still can
    fetcher = URLFetcher(allowed_protocols=["data"])
    css = face_rules() + STYLE.read_text(encoding="utf-8")
    return weasyprint.CSS(string=css, font_config=fonts, url_fetcher=fetcher), fonts, fetcher


def load_weasyprint() -> Any:
    """WeasyPrint, imported at the first sheet: without Pango the import itself fails."""
    for chatty in ("weasyprint.progress", "fontTools"):
        logging.getLogger(chatty).setLevel(logging.WARNING)
    try:
        import weasyprint
    except OSError as missing:
        raise PdfIsOff from missing
    return weasyprint
