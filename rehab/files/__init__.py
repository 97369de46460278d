"""Course files: a JSON document in, engine facts and the plan's JSON answer out."""

from rehab.files.course import read_course
from rehab.files.faults import CourseFaults

__all__ = ["CourseFaults", "read_course"]
