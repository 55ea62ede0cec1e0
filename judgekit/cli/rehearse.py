"""`judgekit rehearse`: practise the calls on a scripted athlete."""

from __future__ import annotations

import secrets
import sys
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import click

from judgekit.cli.output import UNUSABLE, say, say_all
from judgekit.core.values import dataclass
from judgekit.files.eventfolder import EventFolder
from judgekit.review.practiceplan import Practice

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.card import Card
    from judgekit.core.people import Event
    from judgekit.core.workout import Workout
    from judgekit.desk import Desk
    from judgekit.review.calling import Marks
    from judgekit.review.performing import Athlete, Performed
    from judgekit.store.practice import Rehearsed

IN_EVENT, ELSEWHERE = "practice", "judgekit-practice"
# Where nothing is known of a judge yet: three that most classes do.
FIRST = ("air-squat", "push-up", "burpee")
_WEAK = 3
_SEEDS = 1_000_000
_WHOLE = 100
_LONGEST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wish:
    """What is to be rehearsed, and how."""

    practice: Practice
    folder: EventFolder | None
    place: Path
    judge: str
    reps: int
    seed: int
    percent: int

    @property
    def title(self) -> str:
        """Which rehearsal it is: the seed gives the same reps again."""
        return (
            f"Rehearsal: {self.practice.plan.workout_name}, {self.reps} reps, "
            f"speed {self.percent / _WHOLE:g}, seed {self.seed}"
        )

    def athlete(self) -> Athlete:
        """Who performs it, from the beginning."""
        from judgekit.review.performing import Athlete

        chance = Random(self.seed)  # noqa: S311 - reps, not secrets
        return Athlete(
            self.practice.shows, chance, reps=self.reps, percent=self.percent
        )


@click.command("rehearse")
@click.argument("event", required=False)
@click.option("--workout", help="The movements of this workout alone.")
@click.option("--card", "cards", multiple=True, help="This movement; may be repeated.")
@click.option("--judge", default="", help="Who practises, to compare with last time.")
@click.option("--reps", type=click.IntRange(1, 500), help="How many reps are shown.")
@click.option(
    "--speed",
    type=click.FloatRange(0.2, 1.0),
    default=0.5,
    show_default=True,
    help="1 is the ordinary pace of the cards, as far as words can be read.",
)
@click.option("--seed", type=click.IntRange(0), help="The same number, the same reps.")
@click.option("--plain", is_flag=True, help="Print the reps with their right calls.")
@click.pass_context
def command(  # noqa: PLR0913, PLR0917 - click gives each option as an argument
    ctx: click.Context,
    event: str | None,
    workout: str | None,
    cards: tuple[str, ...],
    judge: str,
    reps: int | None,
    speed: float,
    seed: int | None,
    plain: bool,
) -> None:
    """Practise the calls: an athlete performs in words, you judge with the real keys.

    The movements are those of EVENT (or of the event in this folder), of --workout,
    or the ones named; without any, those you called worst before. Nothing of it
    touches the log of an event: it is kept in the folder practice of the event, or in
    judgekit-practice here. --plain prints a script to read aloud to a partner.
    """
    if not plain:
        from judgekit.ui.start import terminal_problem

        problem = terminal_problem(sys.stdin, sys.stderr)
        if problem:
            click.echo(problem)
            ctx.exit(UNUSABLE)
    from judgekit.files.cleaning import clean

    folder = _event(event)
    place = Path(ELSEWHERE) if folder is None else folder.folder / IN_EVENT
    judge = clean(judge, _LONGEST)
    _check_judge(folder, judge)
    past = _past(place, judge)
    found = _practice(folder, workout, cards or _weak(folder, past), reps or 0)
    wish = _Wish(
        practice=found,
        folder=folder,
        place=place,
        judge=judge,
        reps=reps or found.usual_reps(),
        seed=secrets.randbelow(_SEEDS) if seed is None else seed,
        percent=round(speed * _WHOLE),
    )
    ctx.exit(_printed(wish) if plain else _judged(wish, past))


def _event(event: str | None) -> EventFolder | None:
    from judgekit.cli.eventfiles import load

    if event is None and not Path("event.toml").is_file():
        return None
    return load(event or ".")


def _check_judge(folder: EventFolder | None, judge: str) -> None:
    from judgekit.cli.asked import check_known

    known = [one.id for one in folder.event.judges] if folder is not None else []
    check_known("judge", judge if judge and known else None, known)


def _past(place: Path, judge: str) -> list[Rehearsed]:
    """What this judge rehearsed before, oldest first."""
    from judgekit.store.practice import rehearsed

    return [one for one in rehearsed(place) if one.judge == judge]


def _weak(folder: EventFolder | None, past: Sequence[Rehearsed]) -> tuple[str, ...]:
    """Where no event says what is judged: the movements called worst, or the first."""
    from judgekit.review.calling import worst_cards

    if folder is not None:
        return ()
    return worst_cards([one.marks for one in past])[:_WEAK] or FIRST


def _practice(
    folder: EventFolder | None,
    workout: str | None,
    cards: Sequence[str],
    reps: int,
) -> Practice:
    from judgekit.review.practiceplan import changed_settings, of_cards, practice

    if workout is not None and cards and folder is not None:
        raise click.UsageError("say --workout or --card, not both")
    known = _cards(folder)
    for card in cards:
        _check_card(card, known)
    named = workout is not None or not cards
    workouts = _workouts(folder, workout) if named else [of_cards(cards)]
    found = practice(_held(folder), workouts, known, reps)
    if found is None:
        raise click.UsageError(
            "nothing to rehearse: none of these movements is counted rep by rep"
        )
    say_all(f"left out: {words}" for words in found.left_out)
    say_all(
        f"{setting} is {value} here, and the reps go by that"
        for setting, value in changed_settings(found, known)
    )
    return found


def _cards(folder: EventFolder | None) -> Mapping[str, Card]:
    from judgekit.files.library import open_library
    from judgekit.files.shelf import Cards

    return Cards(open_library(), {}) if folder is None else folder.cards


def _check_card(card: str, known: Mapping[str, Card]) -> None:
    from judgekit.files.wording import nearest

    if card in known:
        return
    near = nearest(card, known)
    meant = f'did you mean "{near}"? ' if near else ""
    raise click.UsageError(
        f'there is no card "{card}"; {meant}judgekit cards lists them'
    )


def _workouts(folder: EventFolder | None, wanted: str | None) -> list[Workout]:
    """The workout named, or all of the event in the order in which they are held."""
    from judgekit.cli.asked import check_known

    if folder is None:
        raise click.UsageError("--workout needs an EVENT that holds it")
    check_known("workout", wanted, list(folder.workouts))
    held = dict.fromkeys((*folder.workouts_held(), *folder.workouts))
    return [folder.workouts[name] for name in ([wanted] if wanted else held)]


def _held(folder: EventFolder | None) -> Event:
    from judgekit.core.people import Division, Event

    if folder is not None:
        return folder.event
    today = datetime.now(UTC).date().isoformat()
    usual = Division(id="men", name="", standard="men")
    return Event(name="Practice", date=today, divisions=(usual,))


def _printed(wish: _Wish) -> int:
    from judgekit.cli.output import DONE, Output
    from judgekit.reports.rehearsal import script_text
    from judgekit.review.performing import script

    plan = wish.practice.plan
    output = Output(format="table", path=None, force=False)
    shown = script(plan, wish.athlete())
    output.write(script_text(plan, shown, wish.title, output.width))
    return DONE


def _judged(wish: _Wish, past: Sequence[Rehearsed]) -> int:
    from judgekit.desk import SystemClock
    from judgekit.desk.practising import open_practice
    from judgekit.ui.start import run_floor

    plan = wish.practice.plan
    athlete = wish.athlete()
    desk = open_practice(wish.place, plan, wish.judge, SystemClock())
    try:
        desk.start()
        code = run_floor(desk, folder=wish.folder, athlete=athlete)
    finally:
        desk.close("the program ended")
    if not athlete.performed:
        return code
    _keep(wish, desk.book_id, athlete.performed)
    # Where the terminal has gone, or presses were lost, there is nothing to add.
    return code or _told(wish, desk, athlete.performed, past)


def _keep(wish: _Wish, book: str, performed: Sequence[Performed]) -> None:
    from judgekit.store.practice import FORMAT, Performance, keep

    shown = Performance(
        format=FORMAT,
        seed=wish.seed,
        percent=wish.percent,
        performed=tuple(performed),
    )
    try:
        keep(wish.place, book, shown)
    except OSError as error:
        say(f"{wish.place}: this rehearsal was not kept: {error.strerror}")


def _told(
    wish: _Wish,
    desk: Desk,
    performed: Sequence[Performed],
    past: Sequence[Rehearsed],
) -> int:
    """What came of it, on the screen and in print."""
    from judgekit.reports.rehearsal import as_text, sections
    from judgekit.review.calling import marks
    from judgekit.ui.start import run_wall
    from judgekit.ui.views.rehearsal import sheets

    plan = wish.practice.plan
    found = marks(performed, desk.lane(plan.lane).work.attempts)
    told = sections(plan, found, _last(wish, past))
    code = run_wall(sheets(wish.title, told))
    click.echo(as_text(wish.title, told), nl=False)
    return code


def _last(wish: _Wish, past: Sequence[Rehearsed]) -> Marks | None:
    """The same movements the last time; others would be no comparison."""
    cards = frozenset(card.id for card in wish.practice.plan.cards)
    same = [one.marks for one in past if one.cards == cards]
    return same[-1] if same else None
