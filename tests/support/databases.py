"""A database of its own for tests that run the program in other processes."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import psycopg
from psycopg import conninfo, sql


def sqlite_url(folder: Path) -> str:
    """Name a database file that does not exist yet."""
    return f"sqlite:///{folder / 'clinic.sqlite3'}"


@contextmanager
def postgres_url(server_url: str) -> Iterator[str]:
    """Make an empty database on the server of `server_url`, name it, and remove it in the end."""
    name = f"own_{uuid4().hex}"
    old = conninfo.conninfo_to_dict(server_url)["dbname"]
    with psycopg.connect(server_url, autocommit=True) as server:
        server.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        try:
            yield server_url.replace(f"/{old}", f"/{name}", 1)
        finally:
            server.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))
