"""The pathways that come with the program, read once."""

from functools import cache

from rehab.engine.pathway import Pathways


@cache
def default_pathways() -> Pathways:
    """Read the pathway files that come with the program; nobody has signed them."""
    from rehab.engine.pathway_files import load_pathways

    return load_pathways()
