"""JSON text: exact numbers, no key twice, and faults that name line and column."""

from decimal import Decimal

import pytest

from rehab.files import CourseFaults
from rehab.files.json_text import read_json


def faults(content):
    with pytest.raises(CourseFaults) as refused:
        read_json(content)
    return {fault["path"]: fault["message"] for fault in refused.value.faults}


def test_a_decimal_is_read_exactly():
    assert read_json(b"[72.1, 0.10]") == [Decimal("72.1"), Decimal("0.10")]


def test_a_byte_order_mark_is_no_fault():
    assert read_json(b'\xef\xbb\xbf{"a": 1}') == {"a": 1}


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "Line 1, column 1: this is not JSON; a value is expected here."),
        (b'{"a": }', "Line 1, column 7: this is not JSON; a value is expected here."),
        (b'{"a": 1\n "b": 2}', "Line 2, column 2: this is not JSON; a comma or a closing bracket is expected here."),
        (b'{"a" 1}', "Line 1, column 6: this is not JSON; a colon is expected here."),
        (b"{a: 1}", "Line 1, column 2: this is not JSON; a key in double quotes is expected here."),
        (b'{"a": "b', "Line 1, column 7: this is not JSON; the text that begins here has no closing quote."),
        (b'"a\nb"', "Line 1, column 3: this is not JSON; a line break or tab inside a text must be written as "
         "\\n or \\t."),
        (b'"\\q"', "Line 1, column 2: this is not JSON; this backslash is not a known escape; a backslash itself is "
         "written \\\\."),
        (b"{} {}", "Line 1, column 4: this is not JSON; the document ended before this; one file holds one course."),
    ],
)  # fmt: skip
def test_broken_json_is_told_by_line_and_column(content, message):
    assert faults(content) == {"$": message}


def test_text_that_is_not_utf8_is_told_by_its_line():
    assert faults(b'{"a":\n "\xe9"}') == {"$": "Line 2 is not UTF-8 text. Save the file as UTF-8."}


def test_utf16_is_told_apart():
    assert faults('{"a": 1}'.encode("utf-16")) == {"$": "Line 1 is not UTF-8 text. Save the file as UTF-8."}


def test_a_key_that_stands_twice_is_a_fault_at_its_place():
    content = b'{"history": [{"on": 1}, {"on": 1, "on": 2}], "person": 1, "person": 2}'
    message = "This key stands twice in its object. Keep one."

    assert faults(content) == {"$.person": message, "$.history[1].on": message}


def test_brackets_without_end_are_a_fault_and_no_crash():
    assert faults(b"[" * 100_000 + b"]" * 100_000) == {"$": "The brackets are nested too deeply for a course."}


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999999", "1e99999999999999999999", "9" * 5000])
def test_a_number_that_is_no_measurement_stays_text_and_is_refused_at_its_place(number):
    assert isinstance(read_json(number.encode()), str)
