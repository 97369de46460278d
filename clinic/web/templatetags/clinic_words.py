"""Marks, sides and dates for the templates: the same words and shapes on every page."""

import re
from datetime import date, datetime

from django import template
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from clinic.diary.models import Station
from clinic.people.models import Site
from clinic.people.phones import spoken_number
from clinic.web.drawings.dates import day_month_year, in_words, weekday_and_day
from clinic.web.drawings.marks import Mark, state_mark
from clinic.web.drawings.soles import side_soles
from clinic.web.drawings.svg import tag
from rehab.engine.facts import Side
from rehab.words import at_local_time, pathway_text

register = template.Library()


def side_words(side: str) -> str:
    """LEFT leg or RIGHT leg: never a letter."""
    return _("LEFT leg") if Side(side) is Side.LEFT else _("RIGHT leg")


@register.simple_tag
def mark(state: str, words: object = None) -> SafeString:
    """A state mark: `{% mark "overdue" %}` or `{% mark "here" "Here, 08:51" %}`."""
    return state_mark(Mark(state), words)


@register.simple_tag
def side(which: str) -> SafeString:
    """Two small soles, the injured one filled, and the side in words."""
    return tag("span", side_soles(Side(which)), side_words(which), class_="side")


@register.simple_tag
def side_tag(which: str) -> SafeString:
    """The side in words on a white tag with a thick edge on that same side."""
    return tag("span", side_words(which), class_=f"side-tag side-tag-{Side(which).value}")


register.filter("side_words", side_words)


@register.filter
def full_date(on: date | None) -> str:
    """Wednesday 31 March 2027."""
    return "" if on is None else in_words(on)


@register.filter
def short_date(on: date | None) -> str:
    """Wed 12 May."""
    return "" if on is None else weekday_and_day(on)


@register.filter
def plain_date(on: date | None) -> str:
    """31 March 2027: birth dates and small print."""
    return "" if on is None else day_month_year(on)


@register.filter
def from_pathway(words: str) -> SafeString:
    """A title or a content of a visit, in the language of the reader."""
    return unbroken(pathway_text(words))


@register.filter
def station_words(stations: list[str]) -> SafeString:
    """Stations in words: consultation, X-ray."""
    return unbroken(", ".join(str(Station(station).label) for station in stations))


HYPHENED = re.compile(r"\b\w-\w+")  # a letter and its word: X-ray


def unbroken(words: str) -> SafeString:
    """The words, those like X-ray never broken at their hyphen."""
    return mark_safe(HYPHENED.sub(r'<span class="together">\g<0></span>', escape(words)))  # noqa: S308 - escaped here


@register.filter
def phone(number: str, site: Site) -> str:
    """A number as people of the clinic's country read it."""
    return spoken_number(number, site.country)


@register.filter
def clinic_time(at: datetime, site: Site) -> str:
    """An instant by the clinic's clock: Wednesday 31 March 2027 at 09:30."""
    return at_local_time(at, site.zone)


@register.filter
def slugged(name: str) -> str:
    """A treatment's name as an address writes it."""
    return name.replace("_", "-")
