import ast
from pathlib import Path

from tests.support.measure import Definition, inside, spread

CODE = '''
def told():
    """Promise.

    More.
    """
    return 1

class _Private:
    def hidden(self):
        pass

class Open:
    def seen(self):
        def inner():
            pass
'''


def definitions():
    return {one.node.name: one for one in inside(ast.parse(CODE), Path("some.py"), is_public=True)}


def test_a_function_is_as_long_as_it_is_without_its_docstring():
    assert definitions()["told"].lines == 2


def test_what_stands_in_a_private_class_or_in_a_function_is_private():
    public = {name for name, one in definitions().items() if isinstance(one, Definition) and one.is_public}

    assert public == {"told", "Open", "seen"}


def test_a_spread_names_the_middle_the_ninetieth_percentile_and_the_largest():
    assert spread(list(range(1, 12))) == "p50 6, p90 10, most 11 (of 11)"
