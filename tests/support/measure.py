"""A picture of our code's habits beside what is usual for us: `make measure`.

A mirror, not a gate: a number out of line is a question at review. The length of a
function leaves its docstring out; p50 is the median, p90 the ninetieth percentile.
"""

import ast
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles

from tests.architecture.tree import ROOT, project_files, python_files, short

LONG_MODULE, LONG_FUNCTION = 500, 60
MANY_FIELDS, MANY_METHODS = 15, 8
FULLY_TOLD = ("rehab/engine", "clinic/allocation")
LAST_COMMITS = 200
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Definition:
    """One function or class and the file it stands in."""

    path: Path
    node: Function | ast.ClassDef
    is_public: bool

    @property
    def lines(self) -> int:
        """Its length without its docstring."""
        node = self.node
        length = (node.end_lineno or node.lineno) - node.lineno + 1
        return length - docstring_lines(node)

    @property
    def place(self) -> str:
        """Where it is, and how long."""
        return f"{short(self.path)}:{self.node.lineno} {self.node.name} ({self.lines})"


def main() -> int:
    """Print the table, then the places worth a look."""
    code = [path for path in python_files("clinic", "rehab") if "migrations" not in path.parts]
    tests = [path for path in python_files("tests") if path.name.startswith("test_")]
    functions = [one for one in definitions(code) if isinstance(one.node, Function)]
    print(f"{'habit':<34} {'ours':<34} usual for us")
    for habit, ours, usual in rows(code, functions, tests):
        print(f"{habit:<34} {ours:<34} {usual}")
    show("modules worth a look", [f"{short(path)} ({n})" for path in code if (n := line_count(path)) > LONG_MODULE])
    show("functions worth a look", [one.place for one in functions if one.lines > LONG_FUNCTION])
    show("records worth a look", [one.place for one in model_classes(code) if is_crowded(one.node)])
    show("untold in the engine and the allocator", [one.place for one in functions if is_untold(one)])
    return 0


def rows(code: list[Path], functions: list[Definition], tests: list[Path]) -> Iterator[tuple[str, str, str]]:
    """Yield (habit, ours, usual) for each row."""
    yield "module, lines", spread([line_count(path) for path in code]), "p50 under 120, p90 under 300"
    yield "function, lines", spread([one.lines for one in functions]), "p50 under 9, p90 under 25, a look past 60"
    yield "view, lines", spread([one.lines for one in functions if is_view(one)]), "p90 under 25"
    yield "record, fields and methods", most_crowded(code), "about 15 and 8"
    yield "template, lines", spread([line_count(path) for path in templates()]), "p50 under 30, p90 under 120"
    cases = [one for one in definitions(tests) if one.node.name.startswith("test_")]
    yield (
        "test, lines",
        spread([one.lines for one in cases if isinstance(one.node, Function)]),
        "p50 under 12, p90 under 25",
    )
    yield "told in engine and allocator", share(one for one in functions if is_fully_told_place(one.path)), "100 %"
    yield "told elsewhere", share(one for one in functions if not is_fully_told_place(one.path)), "as needed"
    yield "tests with a query budget", str(sum(has_query_budget(one) for one in cases)), "every list and episode page"
    yield "engine suite", engine_suite(), "under 5 s, no database"
    subjects, files, lines = commits()
    yield "commit subject, characters", spread(subjects), "about 50"
    yield "commit, files", spread(files), "p50 1 to 3"
    yield "commit, lines", spread(lines), "p50 under 60"


# --- Reading the tree ------------------------------------------------------------------------


def definitions(paths: Iterable[Path]) -> Iterator[Definition]:
    """Yield every function and class of the files, with whether anyone outside may use it."""
    for path in paths:
        yield from inside(ast.parse(path.read_text(encoding="utf-8")), path, is_public=True)


def inside(parent: ast.AST, path: Path, *, is_public: bool) -> Iterator[Definition]:
    """Yield the definitions below a node; what stands in a function or a private class is private."""
    for node in ast.iter_child_nodes(parent):
        if isinstance(node, Function | ast.ClassDef):
            public = is_public and not node.name.startswith("_")
            yield Definition(path, node, public)
            yield from inside(node, path, is_public=public and isinstance(node, ast.ClassDef))
        else:
            yield from inside(node, path, is_public=is_public)


def docstring_lines(node: Function | ast.ClassDef) -> int:
    """Count the lines of a docstring; 0 without one."""
    if ast.get_docstring(node, clean=False) is None:
        return 0
    return (node.body[0].end_lineno or 0) - node.body[0].lineno + 1


def line_count(path: Path) -> int:
    """Count the lines of a file."""
    return len(path.read_text(encoding="utf-8").splitlines())


def templates() -> list[Path]:
    """Return the templates that make pages."""
    return [path for path in project_files() if path.suffix == ".html" and "templates" in path.parts]


def model_classes(code: list[Path]) -> list[Definition]:
    """Return the classes that are records: those in a models file or folder that hold fields."""
    inside_models = [path for path in code if path.stem == "models" or "models" in path.parts]
    return [one for one in definitions(inside_models) if isinstance(one.node, ast.ClassDef) and fields_of(one.node)]


def fields_of(node: ast.AST) -> int:
    """Count the database fields that a class states."""
    values = [item.value for item in getattr(node, "body", []) if isinstance(item, ast.Assign)]
    return sum(isinstance(v, ast.Call) and ast.unparse(v.func).startswith("models.") for v in values)


def methods_of(node: ast.AST) -> int:
    """Count the methods of a class."""
    return sum(isinstance(item, Function) for item in getattr(node, "body", []))


def is_crowded(node: ast.AST) -> bool:
    """Say whether a record holds more than one thing should."""
    return fields_of(node) > MANY_FIELDS or methods_of(node) > MANY_METHODS


def is_view(one: Definition) -> bool:
    """Say whether a function answers a request."""
    arguments = one.node.args.args if isinstance(one.node, Function) else []
    return short(one.path).startswith("clinic/web/") and bool(arguments) and arguments[0].arg == "request"


def is_fully_told_place(path: Path) -> bool:
    """Say whether every public function here must have a docstring."""
    return short(path).startswith(FULLY_TOLD)


def is_untold(one: Definition) -> bool:
    """Say whether a public function of the pure parts lacks its promise."""
    return is_fully_told_place(one.path) and one.is_public and not ast.get_docstring(one.node)


def has_query_budget(one: Definition) -> bool:
    """Say whether a test counts the questions a page asks the database."""
    return isinstance(one.node, Function) and any(
        "assert_" in a.arg and "num_queries" in a.arg for a in one.node.args.args
    )


# --- Numbers in words ------------------------------------------------------------------------


def spread(numbers: Sequence[int]) -> str:
    """Write the middle, the ninetieth percentile and the largest."""
    if len(numbers) < 2:
        return "too few to say"
    ninetieth = quantiles(numbers, n=10, method="inclusive")[8]
    return f"p50 {median(numbers):.0f}, p90 {ninetieth:.0f}, most {max(numbers)} (of {len(numbers)})"


def share(functions: Iterable[Definition]) -> str:
    """Write how many of the public functions say their promise."""
    public = [one for one in functions if one.is_public]
    told = sum(ast.get_docstring(one.node) is not None for one in public)
    return f"{100 * told / len(public):.0f} % of {len(public)}" if public else "too few to say"


def most_crowded(code: list[Path]) -> str:
    """Write the largest counts of fields and of methods."""
    records = model_classes(code)
    fields, methods = [fields_of(one.node) for one in records], [methods_of(one.node) for one in records]
    return f"most {max(fields)} and {max(methods)} (of {len(records)})" if records else "too few to say"


def engine_suite() -> str:
    """Run the engine's own tests without Django and write how long they took."""
    started = time.monotonic()
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:django", "-p", "no:cacheprovider", "tests/rehab/engine"]
    command += ["-o", "addopts=", "-o", "DJANGO_SETTINGS_MODULE=", "-W", "ignore::pytest.PytestConfigWarning"]
    answer = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    closing = (answer.stdout.strip().splitlines() or ["said nothing"])[-1]
    return f"{time.monotonic() - started:.1f} s: {closing}"[:60]


def commits() -> tuple[list[int], list[int], list[int]]:
    """Read the last commits: characters of the subject, files and lines of each."""
    form = ["--no-merges", f"-{LAST_COMMITS}", "--format=%x00%s", "--numstat"]
    log = subprocess.run(["git", "log", *form], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    subjects, files, lines = [], [], []
    for entry in log.split("\0")[1:]:
        subject, *changes = [line for line in entry.splitlines() if line]
        counted = [change.split("\t")[:2] for change in changes]
        subjects.append(len(subject))
        files.append(len(counted))
        lines.append(sum(int(number) for pair in counted for number in pair if number.isdigit()))
    return subjects, files, lines


def show(title: str, places: list[str]) -> None:
    """Print a list of places, or that there are none."""
    print(f"\n{title}: {'none' if not places else ''}")
    for place in places:
        print(f"  {place}")


if __name__ == "__main__":
    sys.exit(main())
