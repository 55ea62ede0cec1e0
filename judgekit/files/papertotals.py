"""Totals from paper, typed in a minute: "round 3: 12, 10, 4; depth 3; 7:41".

A line, or what stands between two semicolons, has no time at its head and says one of:
what was good in the sets of a round, no-reps of a fault, when something was done, who
signed. Each becomes what the longer forms of `tally_paper.py` say.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, get_args

from judgekit.core.entry import Accept, Signer
from judgekit.core.paperentry import PaperTime
from judgekit.core.plan import OPEN, SetKey
from judgekit.core.press import Act, WriteNoReps, WriteSet
from judgekit.core.resulting import misfit, sets_told
from judgekit.core.values import dataclass
from judgekit.core.writing import is_load
from judgekit.files.cleaning import clean, quoted
from judgekit.files.resulttext import read_result
from judgekit.files.tally_words import LineError, length, part_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from judgekit.core.plan import Plan, PlanCard, PlanPart

_ROUND_WORDS = "rounds?|intervals?|attempts?|holds?"
_PART = re.compile(r"part\s+([^\s:;]+):?(?:\s+(.*))?", re.IGNORECASE)
_ROUND = re.compile(
    rf"(?:{_ROUND_WORDS})\s+(\d{{1,4}})(?:\s*[-\u2013]\s*(\d{{1,4}}))?"
    r"(?:\s*:\s*(.*?))?(?:\s*\bat\s+(\S+))?",
    re.IGNORECASE,
)
_AT = re.compile(r"(?:done\s+)?at\s+(\S+)", re.IGNORECASE)
_REP = re.compile(r"rep\s+(\d{1,6})\s+at\s+(\S+)", re.IGNORECASE)
_TIME = re.compile(r"\d{1,4}(?::\d{1,2})+(?:\.\d{1,3})?", re.ASCII)
_SIGNED = re.compile(r"signed\s+(.+)", re.IGNORECASE)
_ROUNDS_AND_REPS = re.compile(r"\d{1,4}\s*\+\s*\d{1,6}", re.ASCII)
_COUNTED = re.compile(r"(.*?[^\s:]):?\s+x?(\d{1,4})", re.ASCII)
_TRY = re.compile(r"(.*?)[\s,]*(?:\b(good|no(?:[ -]rep)?)\b\s*(.*))?", re.IGNORECASE)
_HEAD = re.compile(
    rf"from paper\b|part\s+\S|(?:{_ROUND_WORDS})\s+\d", re.IGNORECASE | re.ASCII
)
_GO = re.compile(r"\S+\s+go\b", re.IGNORECASE)
_WHOLE = ("all", "full")
_NONE = ("-", "\u2013", "none")
_NO_REASON = ("no-rep", "no-reps", "no rep", "no reps", "other", "?")
_MOST_ROUNDS = 1000
_LONGEST = 400
_RIGHT = (
    "write one of: round 2: 10, 14 / round 3: all / depth 3 / part A at 3:12 / "
    "7:41 (the clock when all was done) / signed athlete, judge"
)


class NoTotalsError(LineError):
    """A line that says none of what totals say; `right` shows what they do."""

    right = _RIGHT


def is_totals(lines: Sequence[str]) -> bool:
    """Whether these lines are totals from paper, and no tally of single judgements."""
    if any(_HEAD.match(line) for line in lines):
        return True
    # In a line with a heat time, all that follows is what happened then.
    loose = [line for line in lines if not is_stamped(line)]
    alone = any(_TIME.fullmatch(said) for line in loose for said in _statements(line))
    return alone and not any(_GO.match(line) for line in lines)


def is_stamped(line: str) -> bool:
    """Whether a line begins with a heat time and says something after it."""
    first, *more = line.split(maxsplit=1)
    is_time = ":" in first and first.lstrip("-")[:1].isdigit()
    return bool(more) and is_time and not first.endswith(";")


def _statements(line: str) -> Iterator[str]:
    for part in line.split(";"):
        said = clean(part, limit=len(part))
        if said:
            yield said


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a statement means; `at` is the time that it tells, None if it has none."""

    act: Act
    at: int | None = None


class Totals:
    """Reads the lines of one paper in order; a part stands until the next is named."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        work = [n for n, part in enumerate(plan.parts, 1) if part.is_work]
        self._work = work
        self._part = work[0] if len(work) == 1 else None
        self._round: int | None = None

    def line(self, text: str) -> list[Said]:
        """What one line says; LineError names what cannot be read."""
        self._round = None
        return [said for one in _statements(text) for said in self._statement(one)]

    def _statement(self, text: str) -> list[Said]:
        if len(text) > _LONGEST:
            raise NoTotalsError(f"{quoted(text)} is longer than any line of totals")
        for pattern, reads in _READS:
            found = pattern.fullmatch(text)
            if found:
                return reads(self, found)
        return [self._fault(one.strip()) for one in text.split(",")]

    # --- where -------------------------------------------------------------------

    def part(self, found: re.Match[str]) -> list[Said]:
        """A part, as in "part A", and what may follow it."""
        number = part_of(found[1], self.plan)
        if number not in self._work:
            raise LineError(f"part {found[1]} has no work in it")
        self._part = number
        more = found[2]
        if not more:
            return []
        done = _AT.fullmatch(more)
        if done:
            return [Said(act=PaperTime(part=number), at=length(done[1]))]
        return self._statement(more)

    def _here(self) -> tuple[int, PlanPart]:
        if self._part is None:
            names = ", ".join(self.plan.parts[n - 1].id for n in self._work)
            raise LineError(f"say which part first; the parts are {names}")
        return self._part, self.plan.parts[self._part - 1]

    # --- what was good -------------------------------------------------------------

    def rounds(self, found: re.Match[str]) -> list[Said]:
        """Rounds, as in "round 3: 12, 10, 4", perhaps with the time at the end."""
        number, _ = self._here()
        first, last = int(found[1]), int(found[2] or found[1])
        if not 1 <= first <= last <= _MOST_ROUNDS:
            raise LineError(f"there are no rounds {first} to {last}")
        self._round = first if first == last else None
        said: list[Said] = []
        for round_ in range(first, last + 1):
            if found[3]:
                said += self._values(round_, found[3])
        if found[4]:
            if first != last:
                raise LineError("a time is that of one round")
            body = PaperTime(part=number, round=first)
            said.append(Said(act=body, at=length(found[4])))
        if not said:
            raise LineError("say what was good in it, as in: round 2: 10, 14")
        return said

    def _values(self, round_: int, text: str) -> list[Said]:
        number, part = self._here()
        keys = self.plan.round_sets(number, round_)
        if not self.plan.holds(keys[0]):
            raise LineError(f"part {part.id} has {part.rounds} rounds, not {round_}")
        if part.kind == "attempts":
            return self._attempt(keys, text)
        words = [word.strip() for word in text.split(",")]
        if words[0].lower() in _WHOLE and len(words) == 1:
            words *= len(keys)
        if len(words) > len(keys):
            names = ", ".join(self.plan.card_of(key).name.lower() for key in keys)
            raise LineError(f"{len(words)} numbers, and the round has {names}")
        return [
            Said(act=WriteSet(set=key, n=self._number(key, word)))
            for key, word in zip(keys, words, strict=False)
        ]

    def _number(self, key: SetKey, word: str) -> int:
        small = word.lower()
        if small in _NONE:
            return 0
        if small in _WHOLE:
            if self.plan.target(key) == OPEN:
                name = self.plan.card_of(key).name
                raise LineError(f"{name} has no number of its own: say how many")
            return self.plan.target(key)
        if self.plan.movement(key).unit == "seconds" and ":" in word:
            return length(word) // 1000
        if not re.fullmatch(r"\d{1,6}", word, re.ASCII):
            raise LineError(f'{quoted(word)} is no number; write 0, or "all"')
        return int(word)

    def _attempt(self, keys: Sequence[SetKey], text: str) -> list[Said]:
        """An attempt, as in "85 kg no lock": its load, and why it was none."""
        found = _TRY.fullmatch(text)
        load = (found[1] if found else text).strip(" ,")
        if load.lower() in _WHOLE:
            load = ""
        if load and not is_load(load):
            raise LineError(f"{quoted(load)} is no load such as 80 kg")
        missed = found is not None and (found[2] or "good").lower() != "good"
        said = [
            Said(
                act=WriteSet(
                    set=key,
                    n=0 if missed else self.plan.target(key),
                    load=load if key == keys[0] else "",
                )
            )
            for key in keys
        ]
        why = found[3] if found is not None and missed else ""
        # Without a reason nobody knows at which of several movements it was missed.
        if why or (missed and len(keys) == 1):
            said.append(self._why(keys, why or "no-rep"))
        return said

    def _why(self, keys: Sequence[SetKey], text: str) -> Said:
        self._round = keys[0].round
        return self._fault(f"{text} 1")

    def rounds_and_reps(self, found: re.Match[str]) -> list[Said]:
        """The score, as in "5+8": whole rounds, and reps of the next."""
        result = read_result(found[0], self.plan)
        wrong = misfit(self.plan, result)
        if wrong:
            raise LineError(wrong)
        return [
            Said(act=WriteSet(set=key, n=n)) for key, n in sets_told(self.plan, result)
        ]

    # --- times and names --------------------------------------------------------

    def rep(self, found: re.Match[str]) -> list[Said]:
        """The time of a rep, as in "rep 60 at 5:12"."""
        return [Said(act=PaperTime(rep=int(found[1])), at=length(found[2]))]

    def time(self, found: re.Match[str]) -> list[Said]:
        """The clock when all was done, as in "7:41"."""
        return [Said(act=PaperTime(), at=length(found[0]))]

    def signed(self, found: re.Match[str]) -> list[Said]:
        """Who signed, as in "signed athlete, judge"."""
        known: dict[str, Signer] = {one: one for one in get_args(Signer)}
        words = [word.strip().lower() for word in re.split(r",|\band\b", found[1])]
        for word in words:
            if word not in known:
                who = " or ".join(known)
                raise LineError(f"{quoted(word)} signs no scorecard; {who} does")
        return [Said(act=Accept(who=known[word], signed=True)) for word in words]

    # --- no-reps ----------------------------------------------------------------

    def _fault(self, text: str) -> Said:
        found = _COUNTED.fullmatch(text)
        if not found:
            raise NoTotalsError(f"{quoted(text)} is no line of totals")
        number, movement, fault = self._meant(found[1].lower())
        part = self.plan.parts[number - 1]
        round_ = self._round or next(
            r for r in range(1, _MOST_ROUNDS) if movement in part.movements_of(r)
        )
        return Said(
            act=WriteNoReps(
                set=SetKey(number, round_, movement),
                n=int(found[2]),
                fault=fault,
                any_round=self._round is None and part.rounds != 1,
            )
        )

    def _meant(self, word: str) -> tuple[int, int, str]:
        """Part, movement and fault of a call; LineError where it may be several."""
        found: dict[str, list[tuple[int, int, str]]] = {}
        for number, movement in self._movements():
            card = self.plan.card_of(SetKey(number, 1, movement))
            fault = _fault_of(card, word)
            if fault is not None:
                found.setdefault(card.name, []).append((number, movement, fault))
        if not found:
            raise LineError(self._unknown(word))
        if len(found) > 1:
            names = " and of ".join(found)
            raise LineError(
                f"{quoted(word)} is a call of {names}: write the movement before it, "
                f"as in: {next(iter(found)).lower()} {word} 3"
            )
        (meant,) = found.values()
        if len({number for number, _, _ in meant}) > 1:
            raise LineError(f"{quoted(word)} is a call of several parts: say which")
        return meant[0]

    def _movements(self) -> Iterator[tuple[int, int]]:
        numbers = self._work if self._part is None else [self._part]
        for number in numbers:
            part = self.plan.parts[number - 1]
            of = range(1, len(part.movements) + 1)
            for movement in part.movements_of(self._round) if self._round else of:
                yield number, movement

    def _unknown(self, word: str) -> str:
        cards = {
            self.plan.card_of(SetKey(number, 1, movement)).id: None
            for number, movement in self._movements()
        }
        calls = {
            fault.call.lower(): None
            for card in cards
            for fault in self.plan.card(card).faults
            if fault.weight == "void"
        }
        return f"{quoted(word)} is no call here; the calls are {', '.join(calls)}"


def _fault_of(card: PlanCard, word: str) -> str | None:
    """The fault of a card by its id or call, empty for no reason; None if none."""
    for name in (card.id, card.name.lower()):
        if word.startswith(f"{name} "):
            word = word.removeprefix(name).strip()
            break
    if word in _NO_REASON:
        return ""
    for fault in card.faults:
        if fault.weight == "void" and word in (fault.id, fault.call.lower()):
            return fault.id
    return None


def _from_paper(_: Totals, __: re.Match[str]) -> list[Said]:
    """That it is from paper: needed only where nothing else says so."""
    return []


_READS: tuple[
    tuple[re.Pattern[str], Callable[[Totals, re.Match[str]], list[Said]]], ...
] = (
    (re.compile(r"from paper", re.IGNORECASE), _from_paper),
    (_PART, Totals.part),
    (_ROUND, Totals.rounds),
    (_REP, Totals.rep),
    (_TIME, Totals.time),
    (_SIGNED, Totals.signed),
    (_ROUNDS_AND_REPS, Totals.rounds_and_reps),
)
