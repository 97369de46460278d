"""docs/course-files.md says what the program does: its example runs, and it names every key."""

import json
import re
from pathlib import Path

from rehab.files import plan_course, read_json
from rehab.files.structure import SCHEMA_FILE

PAGE = (Path(__file__).resolve().parents[3] / "docs" / "course-files.md").read_text(encoding="utf-8")
COURSE_SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
PLAN_SCHEMA = json.loads(SCHEMA_FILE.with_name("plan.schema.json").read_text(encoding="utf-8"))


def words_of(schema):
    """Every key and every word that a schema knows."""
    if isinstance(schema, list):
        for item in schema:
            yield from words_of(item)
    elif isinstance(schema, dict):
        for key, inner in schema.items():
            if key == "properties":
                yield from inner
            if key == "enum":
                yield from (word for word in inner if isinstance(word, str))
            else:
                yield from words_of(inner)


def test_the_example_of_the_page_is_planned():
    [example] = re.findall(r"```json\n(.*?)```", PAGE, re.DOTALL)
    plan = plan_course(read_json(example.encode()))

    assert [row["state"] for row in plan["visits"]][:3] == ["attended", "missed", "planned"]
    assert plan["stage_now"]["stage"] == "WBAT"


def test_the_page_names_every_key_and_word_of_a_course_file():
    weekdays_between = {"tue", "wed", "thu", "fri", "sat"}

    assert {word for word in words_of(COURSE_SCHEMA) if word not in PAGE} <= weekdays_between


def test_the_page_names_every_part_of_the_answer():
    assert {key for key in PLAN_SCHEMA["properties"] if f"`{key}`" not in PAGE} == set()
