"""One printed sheet against an empty document through the same library."""

from datetime import date

from tests.bench.courses import document, first_and_last_day
from tests.bench.timing import NotHere, Row, best_seconds
from tests.support.needs import missing_pdf


def sheet() -> Row:
    """A whole sheet, from the plan to the bytes, against a page with one empty paragraph."""
    if reason := missing_pdf():
        raise NotHere(reason)
    from clinic.documents.from_plan import sheet_from_plan
    from clinic.documents.page import sheet_pdf
    from clinic.documents.pdf import load_weasyprint
    from rehab.engine.plan import make_plan
    from rehab.files import read_course
    from rehab.files.default_pathways import default_pathways
    from rehab.holiday_tables import calendar_for

    course, clinic = read_course(document("intramedullary_nail", 1))
    plan = make_plan(course, default_pathways(), calendar_for(clinic, *first_and_last_day()))
    the_sheet = sheet_from_plan(plan, course, clinic, on=date(2027, 6, 1))
    empty = load_weasyprint().HTML(string="<p></p>")
    ours, floor = best_seconds(lambda: sheet_pdf(the_sheet), empty.write_pdf)
    figures = f"{1000 * ours:.0f} and {1000 * floor:.1f} milliseconds"
    return Row("one sheet / an empty document", figures, ours / floor, at_most=12)
