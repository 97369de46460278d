"""Run a function of tests/support in a process of its own, on a database of its own.

`python -m tests.support.other_process MODULE FUNCTION [JSON ...]` sets Django up, calls the function
and prints its answer as JSON on the last line.
"""

import importlib
import json
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def call_elsewhere(module: str, function: str, *arguments: object, **environment: str) -> object:
    """Call a function in another process and give its answer; fail with its words when it breaks."""
    command = [sys.executable, "-m", "tests.support.other_process", module, function]
    command += [json.dumps(argument) for argument in arguments]
    done = subprocess.run(
        command,
        cwd=ROOT,
        env=clean_environment(**environment),
        capture_output=True,
        text=True,
        check=False,
        timeout=180,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return json.loads(done.stdout.splitlines()[-1])


def clean_environment(**environment: str) -> dict[str, str]:
    """Give the environment without the services of this run, and with what is named."""
    ours = {key: value for key, value in os.environ.items() if key not in {"DATABASE_URL", "REDIS_URL", "SMS_URL"}}
    return {**ours, **environment}


def main() -> None:
    """Do what the command line says."""
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.conf.settings")
    django.setup()
    module, function, *arguments = sys.argv[1:]
    answer = getattr(importlib.import_module(module), function)(*map(json.loads, arguments))
    print(json.dumps(answer))


if __name__ == "__main__":
    main()
