"""Fields as the pages show them: label, hint, message, box; and the summary of what is wrong."""

from django import forms, template
from django.forms.boundfield import BoundField

from clinic.web.forms.fields import DateBoxes

register = template.Library()
LONG = 8  # more choices than this stand in two columns


def first_control(field: BoundField) -> str:
    """The id of the first thing one can focus in a field, for the links of the summary."""
    widget = field.field.widget
    is_group = isinstance(widget, forms.RadioSelect | forms.CheckboxSelectMultiple | DateBoxes)
    return f"{field.auto_id}_0" if is_group else field.auto_id


def kind_of(field: BoundField) -> str:
    """Which template draws the box."""
    widget = field.field.widget
    if isinstance(widget, forms.CheckboxSelectMultiple):
        return "rows"
    if isinstance(widget, forms.RadioSelect):
        return getattr(field.field, "kind", "rows")
    if isinstance(widget, forms.CheckboxInput):
        return "tick"
    return "date" if isinstance(widget, DateBoxes) else "box"


@register.inclusion_tag("fields/_field.html")
def field(bound: BoundField, unit: str = "") -> dict:
    """One field; `unit` stands after the box."""
    parts = bound.subwidgets[0].data["subwidgets"] if kind_of(bound) == "date" else []
    names = getattr(bound.field.widget, "names", ())
    return {
        "field": bound,
        "kind": kind_of(bound),
        "unit": unit or getattr(bound.field, "unit", ""),
        "boxes": list(zip(names, parts, strict=False)),
        "is_optional": not bound.field.required and not getattr(bound.field, "is_always_asked", False),
        "is_long": len(getattr(bound.field, "choices", ())) > LONG,
    }


@register.inclusion_tag("parts/_summary.html")
def summary(form: forms.BaseForm) -> dict:
    """What is wrong with a form, on top, each line a link to its field."""
    lines = [(first_control(bound), str(bound.label).rstrip("?"), error) for bound in form for error in bound.errors]
    return {"lines": lines, "others": form.non_field_errors()}
