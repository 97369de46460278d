#!/usr/bin/env python3
"""Run a command of the clinic: `python manage.py help` lists them."""

import os
import sys


def main() -> None:
    """Hand the words of the command line to Django."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.conf.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
