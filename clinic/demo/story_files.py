"""Reading people.toml and the stories; all that is wrong in all the files is named at once."""

import tomllib
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from clinic.demo.story import HowHeld, Person, Step, Story, StoryFaults
from clinic.demo.story_keys import injury_of, step_of, story_keys
from clinic.demo.tables import Key, kilograms, month_and_day, one_of, only_yes, read_table, text, unknown, whole
from rehab.engine.pathway import Pathways

FOLDER = Path(__file__).resolve().parents[2] / "fixtures_demo"

PERSON = {
    "given_name": Key(text, is_required=True),
    "family_name": Key(text, is_required=True),
    "age": Key(whole, is_required=True),
    "birthday": Key(month_and_day, is_required=True),
    "hospital_number": Key(text, is_required=True),
    "weight_kg": Key(kilograms),
    "email": Key(text),
    "mobile": Key(text),
    "print_size": Key(lambda value: int(one_of(("14", "18"), "print size")(str(value)))),
    "mobile_not_in_use": Key(only_yes),
}


def read_stories(pathways: Pathways, folder: Path = FOLDER) -> list[Story]:
    """Read every story, in the order of the files' names. Raises StoryFaults."""
    faults: list[str] = []
    people = _read_people(folder / "people.toml", faults)
    files = sorted((folder / "stories").glob("*.toml"))
    if not files:
        faults.append("stories: there is no story. Put a file such as nail_week_6.toml there.")
    told = [_read_story(path, people, pathways, faults) for path in files]
    stories = [story for story in told if story is not None]
    faults += _told_twice(stories)
    if faults:
        raise StoryFaults(faults)
    return stories


def read_toml(path: Path, faults: list[str]) -> dict[str, Any]:
    """Read a TOML file with exact numbers; a file that is none is a fault."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    except FileNotFoundError:
        faults.append(f"{path.name}: this file is missing.")
    except UnicodeDecodeError:
        faults.append(f"{path.name}: this is not UTF-8 text.")
    except tomllib.TOMLDecodeError as wrong:
        faults.append(f"{path.name}: this is not TOML: {wrong}.")
    return {}


def _read_people(path: Path, faults: list[str]) -> dict[str, Person]:
    people = {}
    for key, table in read_toml(path, faults).items():
        n_before = len(faults)
        found = read_table(table, PERSON, f"people.toml: {key}", faults)
        if len(faults) == n_before:
            is_dead = found.pop("mobile_not_in_use", False)
            people[key] = Person(**found, is_mobile_dead=is_dead)
    return people


def _read_story(path: Path, people: Mapping[str, Person], pathways: Pathways, faults: list[str]) -> Story | None:
    """Read one story; None when something in it is wrong."""
    n_before = len(faults)
    document = read_toml(path, faults)
    if len(faults) > n_before:
        return None
    keys = story_keys(people, _codes(pathways), _circumstances(pathways))
    found = read_table(document, keys["story"], path.name, faults)
    tables = {
        name: read_table(found.get(name, {}), keys[name], f"{path.name}: {name}", faults)
        for name in ("injury", "treatment", "ward")
        if name in found
    }
    rows = enumerate(found.get("then", []), start=1)
    steps = [read_table(row, keys["then"], f"{path.name}: then {n}", faults) for n, row in rows]
    for n, step in enumerate(steps, start=1):
        faults += [f"{path.name}: then {n}: {wrong}" for wrong in _wrong_step(step)]
    faults += [f"{path.name}: {wrong}" for wrong in _wrong_moment(found, pathways)]
    if len(faults) > n_before:
        return None
    return _story(path.stem, found, people, tables, steps)


def _story(
    name: str, found: Mapping[str, Any], people: Mapping[str, Person], tables: Mapping, steps: list[dict]
) -> Story:
    return Story(
        name=name,
        title=found["title"],
        tells=found["tells"],
        person=people[found["person"]],
        today=found["today"],
        injury=injury_of(tables["injury"]),
        treatment=HowHeld(**tables["treatment"]),
        ward=step_of(tables["ward"]) if "ward" in tables else Step(),
        then=tuple(step_of(step) for step in steps),
        not_booked=frozenset(found.get("not_booked", ())),
        booked_early=frozenset(found.get("booked_early", ())),
        fills_session_of=found.get("fills_session_of"),
    )


def _wrong_step(step: Mapping[str, Any]) -> list[str]:
    """Name what does not go together in one step."""
    wrong = []
    if "visit" in step and "days_later" in step:
        wrong.append("a visit names its own day; leave “days_later” out.")
    if "visit" not in step and step and "days_later" not in step:
        wrong.append("say which “visit” it was, or how many “days_later”.")
    if "missed" in step and set(step) - {"visit", "missed"}:
        wrong.append("nothing can be recorded at a visit that was missed.")
    if "film_after_wedging" in step and "wedged" not in step:
        wrong.append("“film_after_wedging” needs “wedged = true”.")
    return wrong


def _wrong_moment(found: Mapping[str, Any], pathways: Pathways) -> list[str]:
    what = found["today"].what if "today" in found else ""
    known = {*_codes(pathways), "conversion"}
    return [f"today: {unknown(what, known, 'visit')}"] if what and what not in known else []


def _told_twice(stories: list[Story]) -> list[str]:
    """Name people who have two stories, and hospital numbers that two people have."""
    seen: dict[str, str] = {}
    wrong = []
    for story in stories:
        number = story.person.hospital_number
        if number in seen:
            wrong.append(f"{story.name}.toml: the hospital number {number} is in {seen[number]}.toml already.")
        seen.setdefault(number, story.name)
    return wrong


def _codes(pathways: Pathways) -> list[str]:
    """List the codes of all visits, and the first few extra ones."""
    codes = {code for pathway in pathways.values() for code in pathway.codes}
    return sorted(codes | {"X1", "X2", "X3"})


def _circumstances(pathways: Pathways) -> list[str]:
    shared = next(iter(pathways.values())).shared
    return sorted(shared.refused_circumstances | shared.sign_off_circumstances)
