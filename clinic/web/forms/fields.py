"""Fields of the clinic: dates in three boxes, weights in kilograms, choices without a default."""

import re
import unicodedata
from collections.abc import Iterable
from datetime import date, datetime, time
from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxLengthValidator
from django.utils.dates import MONTHS, MONTHS_3
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

CENTURY = 2000
KG = re.compile(r"(\d{1,3}(?:[.,]\d)?)\s*(?:kg)?", re.IGNORECASE)
MEASURE = re.compile(r"\d{1,3}([.,]\d)?")
ECHO = 20  # so much of what was typed is said back in a message; all of it stays in the box
JOINERS = "\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}"  # spelling of several languages needs them
CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")


class DateBoxes(forms.MultiWidget):
    """Day, month and year in three boxes; the month may be a number or a name."""

    kind = "date"
    use_fieldset = True
    names: tuple[str | Promise, ...] = (gettext_lazy("Day"), gettext_lazy("Month"), gettext_lazy("Year"))
    widths: tuple[str, ...] = ("w-4", "w-6", "w-6")
    with_time = False

    def __init__(self, attrs=None):
        boxes = [forms.TextInput(attrs={"class": width, "autocomplete": "off"}) for width in self.widths]
        super().__init__(boxes, attrs)

    def decompress(self, value: date | datetime | None) -> list[str]:
        """The boxes of a date."""
        if value is None:
            return [""] * len(self.widths)
        boxes = [str(value.day), str(value.month), str(value.year)]
        return [*boxes, f"{value:%H:%M}"] if self.with_time else boxes

    def value_omitted_from_data(self, data, files, name) -> bool:
        """True when none of the boxes was sent."""
        return not any(f"{name}_{place}" in data for place in range(len(self.widths)))


class MomentBoxes(DateBoxes):
    """A date and a time of day, clinic time."""

    kind = "date"
    names = (*DateBoxes.names, gettext_lazy("Time"))
    widths = (*DateBoxes.widths, "w-6")
    with_time = True


class DateField(forms.Field):
    """A civil date. Names the very day that does not exist, and the box that is empty."""

    widget = DateBoxes
    default_error_messages = {"required": gettext_lazy("Give the day, the month and the year.")}

    def clean(self, value):
        """The date, or None where it may be left out."""
        boxes = [(box or "").strip() for box in value or []]
        if not any(boxes):
            if self.required:
                raise ValidationError(self.error_messages["required"], code="required")
            return None
        return self.compress(boxes)

    def compress(self, boxes: list[str]) -> date | datetime:
        """One date from its boxes."""
        return _date(*boxes[:3])

    def has_changed(self, initial, data) -> bool:
        """Whatever was typed counts as new: these forms never edit."""
        return True


class MomentField(DateField):
    """A date and a clinic wall time, as a naive datetime: only the site knows the zone."""

    widget = MomentBoxes
    default_error_messages = {"required": gettext_lazy("Give the day, the month, the year and the time.")}

    def compress(self, boxes: list[str]) -> datetime:
        """A wall time from its four boxes."""
        found = CLOCK.fullmatch(boxes[3])
        on = _date(*boxes[:3])
        if not found or int(found[1]) > 23 or int(found[2]) > 59:
            raise ValidationError(_("Give the time like 09:20, by the 24-hour clock."), code="time")
        return datetime.combine(on, time(int(found[1]), int(found[2])))


def _date(day: str, month: str, year: str) -> date:
    if not (day and month and year):
        raise ValidationError(_("Give the day, the month and the year."), code="incomplete")
    if not (day.isdecimal() and len(day) <= 2 and year.isdecimal() and len(year) in (2, 4)):
        raise ValidationError(_("Give the date in figures, like 31 3 2027."), code="figures")
    number, full_year = _month(month), int(year) + (CENTURY if len(year) == 2 else 0)
    try:
        return date(full_year, number, int(day))
    except ValueError:
        words = {"day": int(day), "month": MONTHS.get(number, month), "year": full_year}
        raise ValidationError(_("There is no %(day)s %(month)s %(year)s.") % words, code="no such day") from None


def _month(typed: str) -> int:
    names = {str(name).casefold(): number for table in (MONTHS, MONTHS_3) for number, name in table.items()}
    number = names.get(typed.casefold(), int(typed) if typed.isdecimal() and len(typed) <= 2 else 0)
    if not 1 <= number <= 12:
        message = _("“%(typed)s” is not a month. Give 1 to 12, or its name.")
        raise ValidationError(message % {"typed": typed[:ECHO]}, code="month")
    return number


class PastDateField(DateField):
    """A civil date that cannot lie in the future. The form sets `today` to the site's own date."""

    today: date | None = None

    def compress(self, boxes):
        """The date, refused when it is still to come."""
        on = super().compress(boxes)
        if self.today and on > self.today:
            raise ValidationError(_("This day is still to come. Give a day up to today."), code="future")
        return on


class PastMomentField(MomentField):
    """A wall time that cannot lie in the future. The form sets `now` to the site's own wall time."""

    now: datetime | None = None

    def compress(self, boxes):
        """The wall time, refused when it is still to come."""
        at = super().compress(boxes)
        if self.now and at > self.now:
            raise ValidationError(_("This moment is still to come. Give one up to now."), code="future")
        return at


class WordsField(forms.CharField):
    """A line of text."""

    default_error_messages = {"required": gettext_lazy("Fill this in.")}
    TOO_LONG = gettext_lazy("This is too long: at most %(limit_value)d letters.")

    def __init__(self, *, max_length: int, **kwargs):
        super().__init__(**kwargs)
        self.validators.append(MaxLengthValidator(max_length, self.TOO_LONG))
        self.widget.attrs["maxlength"] = str(max_length)

    def clean(self, value):
        """The words, without a sign that nobody sees: one could turn or hide what stands beside it."""
        typed = super().clean(value)
        if any(unicodedata.category(sign) in ("Cc", "Cf") and sign not in JOINERS for sign in typed):
            raise ValidationError(_("There is an invisible sign in this. Type it again by hand."), code="invisible")
        return typed


class KilogramField(forms.CharField):
    """A body weight in whole tenths of a kilogram; pounds and stones are refused, never converted."""

    def __init__(self, **kwargs):
        super().__init__(widget=forms.TextInput(attrs={"class": "w-8", "autocomplete": "off"}), **kwargs)

    def clean(self, value):
        """Tenths of a kilogram, or None."""
        typed = super().clean(value)
        if not typed:
            return None
        found = KG.fullmatch(typed)
        if not found:
            message = _("Give the weight in kilograms. “%(typed)s” cannot be used.")
            raise ValidationError(message % {"typed": typed[:ECHO]}, code="not kilograms")
        return int(Decimal(found[1].replace(",", ".")) * 10)


class MeasureField(forms.CharField):
    """A measurement from 0 up to `at_most`, with at most one decimal. Empty means: not measured."""

    def __init__(self, *, at_most: int, unit: str, **kwargs):
        self.at_most, self.unit = at_most, unit
        kwargs.setdefault("required", False)
        super().__init__(widget=forms.TextInput(attrs={"class": "w-4", "autocomplete": "off"}), **kwargs)

    def clean(self, value):
        """The measurement as an exact decimal, or None."""
        typed = super().clean(value)
        if not typed:
            return None
        message = _("Give a number from 0 to %(most)d, like 7 or 7.5. “%(typed)s” cannot be used.")
        wrong = ValidationError(message % {"most": self.at_most, "typed": typed[:ECHO]}, code="measure")
        if not MEASURE.fullmatch(typed):
            raise wrong
        measured = Decimal(typed.replace(",", "."))
        if measured > self.at_most:
            raise wrong
        return measured


class ChoiceField(forms.ChoiceField):
    """A few choices as rows, none of them chosen beforehand."""

    default_error_messages = {
        "required": gettext_lazy("Choose one of these."),
        "invalid_choice": gettext_lazy("Choose one of these."),
    }

    def __init__(self, *, choices, kind: str = "rows", **kwargs):
        super().__init__(choices=choices, widget=forms.RadioSelect, **kwargs)
        self.kind = kind


class StripField(ChoiceField):
    """Few short choices as a strip of joined radio buttons."""

    def __init__(self, *, choices, **kwargs):
        super().__init__(choices=choices, kind="strip", **kwargs)


def offer(form: forms.BaseForm, name: str, choices: Iterable[tuple[str, object]]) -> None:
    """Fill the choices of a field that depend on who is asked about."""
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    field.choices = list(choices)
