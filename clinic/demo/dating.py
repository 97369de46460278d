"""Dating a story: on which day the operation or the cast was, so that the telling moment is today."""

from datetime import date, timedelta

from clinic.demo.script import DAY, Script, Untellable, write_script
from clinic.demo.story import Moment, Story
from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.pathway import Pathways
from rehab.translate import ClinicDays

TRIALS = [timedelta(days=n) for n in (200, 210, 220)]  # first guesses; the search starts from what one shows
SEARCHED_DAYS = 12
NEAR_ENOUGH = 3  # beyond so many days from the guess any day that fits will do: exactness was not to be had


def dated_script(story: Story, today: date, days: ClinicDays, pathways: Pathways) -> Script:
    """Give the script whose moment lies nearest to today, with nothing in it that is still to come.

    Raises Untellable.
    """
    if story.today.moment is Moment.DAY:
        script = write_script(story, today - DAY * story.today.n_days, today, days, pathways)
        if script.days[-1] > today:
            raise Untellable(f"{story.today.n_days} days are too few for what the story tells")
        return script
    return _nearest(story, today, days, pathways)


def _nearest(story: Story, today: date, days: ClinicDays, pathways: Pathways) -> Script:
    trial = _trial(story, today, days, pathways)
    goal = _goal(story, today, days.calendar_for(trial.course))
    guess = trial.course.treatments[0].on + (goal - _moment(trial))
    found: list[tuple[int, Script]] = []
    for offset in sorted(range(-SEARCHED_DAYS, SEARCHED_DAYS + 1), key=abs):
        try:
            script = write_script(story, guess + DAY * offset, today, days, pathways)
            gap = (_moment(script) - goal).days
        except Untellable:
            continue
        if script.days[-1] <= today and _is_on_its_side(story, gap):
            if gap == 0:
                return script
            found.append((abs(gap), script))
        if found and abs(offset) >= NEAR_ENOUGH:
            break
    if not found:
        raise Untellable(f"no day of operation makes {goal} the moment that the story names")
    return min(found, key=lambda each: each[0])[1]


def _trial(story: Story, today: date, days: ClinicDays, pathways: Pathways) -> Script:
    """Tell the story some months ago, to see how long it takes; a holiday may be in the way of one try."""
    wrong: list[Untellable] = []
    for ago in TRIALS:
        try:
            return write_script(story, today - ago, today, days, pathways)
        except Untellable as why:
            wrong.append(why)
    raise wrong[0]


def _moment(script: Script) -> date:
    """Give the day of the moment that should be today."""
    wanted = script.story.today
    day = script.day_of(wanted.what)
    if day is None:
        raise Untellable(f"{wanted.what} is neither told nor still to come")
    shift = {Moment.AFTER: DAY * wanted.n_days, Moment.BEFORE: -DAY * wanted.n_days}
    return day + shift.get(wanted.moment, timedelta(0))


def _goal(story: Story, today: date, calendar: ClinicCalendar) -> date:
    """Give the day the moment should fall on: a clinic day when it is a visit."""
    if story.today.moment is Moment.EXPECTED:
        day = calendar.open_on_or_after(today)
        assert day is not None
        return day
    if story.today.moment is Moment.CAME:
        return next(today - DAY * n for n in range(31) if calendar.is_open(today - DAY * n))
    return today


def _is_on_its_side(story: Story, gap: int) -> bool:
    """Say whether a near miss still makes sense: what was told is past, what is expected is to come."""
    return gap >= 0 if story.today.moment in (Moment.EXPECTED, Moment.BEFORE) else gap <= 0
