from collections import Counter

import pytest

from tests.support.legs import closing_line, command_of, count

REPORT = """<testsuites><testsuite>
<testcase name="one"/><testcase name="two"/>
<testcase name="three"><failure>no</failure></testcase>
<testcase name="four"><error>worse</error></testcase>
<testcase name="five"><skipped>no browser</skipped></testcase>
</testsuite></testsuites>"""


def test_a_report_is_counted_by_how_each_test_ended(tmp_path):
    report = tmp_path / "report.xml"
    report.write_text(REPORT)

    assert count(report) == Counter(passed=2, failed=2, skipped=1)


@pytest.mark.parametrize(
    ("counts", "line"),
    [
        (Counter(passed=12), "12 passed, 0 failed"),
        (Counter(passed=3, failed=1, skipped=2), "3 passed, 1 failed, 2 skipped"),
        (Counter(), "0 passed, 0 failed"),
    ],
)
def test_the_closing_line_tells_the_whole_run(counts, line):
    assert closing_line(counts) == line


def test_every_test_belongs_to_a_leg_but_the_long_searches():
    sqlite, services = command_of("sqlite", "auto"), command_of("services", "auto")

    assert sqlite[-1] == "not services and not browser and not long"
    assert services[-1] == "(services or browser or database) and not long"
