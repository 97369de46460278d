"""One course a line: a fault stays in its line."""

import json
from io import BytesIO

from rehab.files import course_lines
from rehab.files.course_lines import answer_lines


def answers(*lines):
    text = "\n".join(line if isinstance(line, str) else json.dumps(line, default=float) for line in lines)
    return list(answer_lines(BytesIO(text.encode())))


def test_each_line_is_answered_with_its_own_plan(document, just_nailed):
    plans = [answer.document for answer in answers(document, just_nailed)]

    assert [plan["ended_on"] for plan in plans] == ["2028-01-31", None]


def test_a_faulty_line_is_answered_with_its_number_and_the_rest_go_on(document):
    bad = document | {"injury": document["injury"] | {"side": "both"}}
    told = answers(document, bad, document)

    assert [answer.has_faults for answer in told] == [False, True, False]
    assert told[1].document["line"] == 2
    assert [fault["path"] for fault in told[1].document["errors"]] == ["$.injury.side"]


def test_an_empty_line_is_no_course_and_still_counts(document):
    told = answers(document, "", "   ", "{}")

    assert [answer.has_faults for answer in told] == [False, True]
    assert told[1].document["line"] == 4


def test_a_line_that_is_not_json_is_told_by_its_column():
    [answer] = answers('{"clinic": ')

    message = "Line 1, column 12: this is not JSON; a value is expected here."
    assert answer.document == {"line": 1, "errors": [{"path": "$", "message": message}]}


def test_a_line_that_is_not_utf8_is_a_fault_of_that_line(document):
    good = json.dumps(document, default=float).encode()
    told = list(answer_lines(BytesIO(b"\xff\xfe\n" + good)))

    assert [answer.has_faults for answer in told] == [True, False]


def test_a_line_too_long_to_hold_is_skipped_whole(monkeypatch, document):
    good = json.dumps(document, default=float)
    monkeypatch.setattr(course_lines, "LONGEST_LINE", len(good) + 10)
    told = answers(good, "x" * (3 * len(good)), good)

    assert [answer.has_faults for answer in told] == [False, True, False]
    assert told[1].document["line"] == 2


def test_lines_are_read_one_at_a_time(document):
    read = []

    class Source(BytesIO):
        def readline(self, size=-1):
            line = super().readline(size)
            read.append(line)
            return line

    line = json.dumps(document, default=float).encode() + b"\n"
    stream = answer_lines(Source(line * 5))
    next(stream)

    assert len(read) == 1
