"""The frame of every page: word mark, page names with what is open behind them."""

from dataclasses import dataclass

from django import template
from django.utils.functional import Promise
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from clinic.web.drawings.soles import HEIGHT, PAIR_WIDTH, WIDTH, sole
from clinic.web.drawings.svg import group, picture
from rehab.engine.facts import Side

register = template.Library()


@dataclass(frozen=True, slots=True)
class PageName:
    """A page in the top bar, and the views that belong to it."""

    url: str
    words: Promise
    views: tuple[str, ...]


PAGES = (
    PageName("front-desk", _("Front desk"), ("front-desk",)),
    PageName(
        "patients", _("Patients"), ("patients", "register", "episode", "book-visit", "record-film", "order-stage")
    ),
    PageName("pathways", _("Pathways"), ("pathways", "pathway")),
)


@register.inclusion_tag("parts/_page_names.html", takes_context=True)
def page_names(context) -> dict:
    """The page names, the current one told apart. Nothing for a stranger."""
    request = context.get("request")
    match = getattr(request, "resolver_match", None)
    here = match.url_name if match else ""
    is_known = request is not None and request.user.is_authenticated
    return {"pages": [(page, here in page.views) for page in PAGES] if is_known else []}


@register.simple_tag
def word_mark() -> SafeString:
    """Two soles, one filled and one half filled."""
    left, right = sole(Side.LEFT, "word-sole"), sole(Side.RIGHT, "word-sole-open")
    return picture(PAIR_WIDTH, HEIGHT, left, group(right, x=PAIR_WIDTH - WIDTH), class_="word-soles")


@register.filter
def split_words(words: str) -> list[str]:
    """The words of a string, one by one."""
    return words.split()
