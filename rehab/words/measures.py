"""Film measurements in words: the direction is a word, the number is never negative."""

from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from rehab.words.numbers import number

DIRECTIONS = {
    "coronal": (gettext_lazy("varus"), gettext_lazy("valgus")),
    "sagittal": (gettext_lazy("apex posterior"), gettext_lazy("apex anterior")),
}


def amount(measure: str, value: object) -> str:
    """Write a size with its unit: 5°, 10 mm, 50 %."""
    size = number(abs(Decimal(str(value))))
    if measure == "shortening":
        return _("%(size)s mm") % {"size": size}
    if measure == "contact":
        return _("%(size)s %%") % {"size": size}
    return _("%(size)s°") % {"size": size}


def reading(measure: str, value: object) -> str:
    """Write a reading with its direction in words: 7° varus, straight, 12 mm short, 40 % contact."""
    signed = Decimal(str(value))
    size = amount(measure, signed)
    if measure in DIRECTIONS:
        if signed == 0:
            return _("straight")
        towards = DIRECTIONS[measure][0 if signed < 0 else 1]
        return _("%(size)s %(towards)s") % {"size": size, "towards": towards}
    if measure == "rotation":
        return _("%(size)s rotation") % {"size": size}
    if measure == "shortening":
        return _("%(size)s short") % {"size": size}
    return _("%(size)s contact") % {"size": size}
