"""Names as athletes chose to have them shown, and other words that reports share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.core.doubt import extra_of
from judgekit.core.entry import Reading
from judgekit.core.paperentry import OfPaper, PaperNoReps, PaperSet, PaperTime
from judgekit.core.resulting import result_text
from judgekit.core.watchentry import Look, LookEnd, Result, SetReported

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from judgekit.core.entry import Body, Entry
    from judgekit.core.people import ShowAs
    from judgekit.core.plan import Plan, PlanCard, SetKey
    from judgekit.core.runs import Run
    from judgekit.core.score import Score
    from judgekit.core.state import Lane, Mark

# The words for a lane in which nothing was done that could be scored.
NOTHING_DONE = ("waiting", "recalled", "did not start")
NO_REASON = "no reason given"
OFF_CARD = "no longer on the card"
MARK_WORDS: Mapping[Mark, str] = {
    "early": "early: before the rest was over",
    "at the horn": "at the horn",
    "after the horn": "after the horn",
    "held": "while stopped or frozen",
    "not counted": "not counted: made while work was held",
    "soon": "sooner than believable",
    "changeover": "very soon after another movement",
    "unlikely": "more than anybody does in that time",
    "out of order": "stamped before the one before it",
    "voided": "voided by a ruling",
    "restored": "restored by a ruling",
    "after signing": "after both had accepted",
    "close": "close call",
    "own": "stands, as the judge said",
}


def shown_name(name: str, show: ShowAs, bib: str) -> str:
    """The name as its owner wants it on sheets: whole, as initials, or the bib."""
    if show == "number":
        return bib
    if show == "initials":
        return " ".join(f"{word[0].upper()}." for word in name.split()) or bib
    return name


def counted_words(many: int, of: str) -> str:
    """A number of what has a plural in s: "1 rep", "12 reps"."""
    return f"{many} {of.removesuffix('s') if many == 1 else of}"


def listed(words: Sequence[str]) -> str:
    """Words in a sentence: "depth, lock and hang"; ValueError if there is none."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def beside_bib(bib: str, name: str, gap: str = " ") -> str:
    """The bib with the shown name beside it, unless the name says no more."""
    return bib if name == bib else f"{bib}{gap}{name}"


def numbered_name(plan: Plan) -> str:
    """The bib, and beside it the name as its owner wants it, unless that is the bib."""
    return beside_bib(plan.bib, shown_name(plan.name, plan.show, plan.bib))


def has_score(score: Score) -> bool:
    """Whether there is a score to show: there is none before anything was done."""
    return (
        score.value is not None or bool(score.parts)
    ) and score.status not in NOTHING_DONE


def call_of(card: PlanCard, fault_id: str) -> str:
    """The call of a fault; as logged, and said so, once the card has it no more."""
    fault = card.fault(fault_id)
    return fault.call if fault is not None else f"{fault_id} ({OFF_CARD})"


def asks_words(must_be: str) -> str:
    """What a fault's criterion asks, said so that nobody reads it as the fault."""
    return f"The standard asks: {must_be}" if must_be else ""


def movement_name(plan: Plan, key: SetKey) -> str:
    """A set's movement with its load and height: "Front squat, 47.5 kg"."""
    movement = plan.movement(key)
    things = (plan.card_of(key).name, plan.load(key), movement.height)
    return ", ".join(thing for thing in things if thing)


def scaled_words(plan: Plan) -> str:
    """What the athlete did otherwise than written, as it stands with the score.

    "with hanging knee raise"; empty where all was as written.
    """
    other = [
        plan.card(movement.card).name.casefold()
        for part in plan.parts
        for movement in part.movements
        if movement.instead_of
    ]
    if other:
        return f"with {' and '.join(dict.fromkeys(other))}"
    return "with changes for this athlete" if plan.substituted else ""


def score_words(score: Score, plan: Plan) -> str:
    """The score as it is told, with what was done otherwise than written."""
    scaled = scaled_words(plan)
    if not scaled:
        return score.detail
    return f"{score.detail}{',' if ',' in score.detail else ''} {scaled}"


def taken_off_words(lane: Lane, pressed: Entry | None, when: str = "") -> str:
    """That a press was one too many, and what it was an extra of, if that is known."""
    key = extra_of(lane, pressed) if pressed is not None else None
    if key is None and is_reading(pressed):
        return f"reading{when} taken off"
    if key is None:
        return f"press{when} taken off as one too many"
    return f"extra {lane.plan.card_of(key).name.lower()}{when} taken off"


def is_reading(pressed: Entry | None) -> bool:
    """Whether a press said what a monitor shows."""
    return pressed is not None and isinstance(pressed.body, Reading)


def answer_words(pressed: Entry | None, *, yes: bool) -> str:
    """The answer about a press that came too soon: whether it was one too many."""
    if is_reading(pressed):
        return "taken off" if yes else "it stands"
    return "one too many" if yes else "a rep of its own"


def said_words(body: Body) -> str:
    """A report, a look or a result in a few words; empty for anything else."""
    match body:
        case SetReported(n=n):
            return f"{n} reported"
        case Look():
            return "look"
        case LookEnd(seen=seen):
            return f"look over, {seen} seen"
        case Result():
            return f"result {result_text(body)}"
        case PaperSet() | PaperNoReps() | PaperTime():
            return f"from paper: {paper_words(body)}"
        case _:
            return ""


def paper_words(body: OfPaper, named: str = "") -> str:
    """What stands on paper, in a few words: "12, 80 kg", "3 no-reps depth".

    `named` is the id of the part whose time it is, where that is known.
    """
    match body:
        case PaperSet(n=n, load=load):
            return f"{n}, {load}" if load else str(n)
        case PaperNoReps(n=n, fault=fault):
            return f"{n} no-rep{'' if n == 1 else 's'} {fault}".rstrip()
        case PaperTime(rep=0, round=0, part=0):
            return "all done"
        case PaperTime(rep=rep, round=round_, part=part):
            where = f"part {named or part}" + (f", round {round_}" if round_ else "")
            return f"rep {rep}" if rep else f"{where} done"


def run_words(runs: Sequence[Run], run: Run | None) -> str:
    """Which run of a lane this is and why; empty for the only live one.

    `run` is the one that counts, or None.
    """
    unscored = unscored_words(runs, run)
    if run is None:
        return unscored
    many = sum(1 for one in runs if one.source != "second")
    words = []
    if many > 1 or run.why:
        why = f": {run.why}" if run.why else ""
        words.append(f"run {run.number} of {many}{why}")
    if run.source == "transcribed":
        told = any(isinstance(entry.body, Result) for entry in run.entries)
        paper = any(isinstance(entry.body, OfPaper) for entry in run.entries)
        from_ = "totals from paper" if paper else "transcribed from a tally"
        words.append("as reported" if told else from_)
    words += (
        f"entries up to {ref.number} of the log {ref.book} are not here"
        for ref in run.missing
    )
    return "; ".join(words)


def unscored_words(runs: Sequence[Run], run: Run | None) -> str:
    """Why none of a lane's runs may be scored; empty if one may, or there is none."""
    if run is not None or not runs:
        return ""
    if any(one.conflict for one in runs):
        return "not scored: two desks went on with this lane, a ruling must choose"
    return "not scored: only a second judge counted"
