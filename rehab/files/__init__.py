"""Course files: a JSON document in, engine facts and the plan's JSON answer out."""

from rehab.files.course import read_course
from rehab.files.faults import CourseFaults
from rehab.files.json_text import read_json
from rehab.files.plan_document import plan_document
from rehab.files.planning import PlannedCourse, plan_course, plan_course_file

__all__ = [
    "CourseFaults",
    "PlannedCourse",
    "plan_course",
    "plan_course_file",
    "plan_document",
    "read_course",
    "read_json",
]
