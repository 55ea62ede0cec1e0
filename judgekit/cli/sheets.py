"""Athletes' sheets of an event: whose lanes are whose, and what their files are."""

from __future__ import annotations

import re
from collections import Counter
from hashlib import sha256
from typing import TYPE_CHECKING

from judgekit.cli.laying import page_in
from judgekit.cli.standings import contests_of, standings_of
from judgekit.reports.explain import others_to_go
from judgekit.reports.overallwords import own_totals
from judgekit.reports.sheet import Sheet, Worked, parts_equal, sheet

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from judgekit.cli.eventlog import Looked
    from judgekit.core.plan import Plan
    from judgekit.reports.sheetsince import Before
    from judgekit.reports.typefaces import Typefaces

_NOT_PLAIN = re.compile(r"[^A-Za-z0-9]+")
_LONGEST, _CODE = 24, 8
# Names that some systems keep for devices.
_DEVICES = re.compile(r"con|prn|aux|nul|com\d|lpt\d", re.IGNORECASE)


class Sheets:
    """Everybody's lanes with their places, read once; then sheet after sheet."""

    def __init__(self, looked: Looked) -> None:
        self._wall = looked.wall
        found = standings_of(looked)
        self._contests = contests_of(found, looked)
        places = {
            (place.row.lane.plan.heat, place.row.lane.plan.lane): (place, one)
            for one in found
            for place in one.places
        }
        self.lanes: dict[str, list[Worked]] = {}
        self.before: Mapping[str, Before] = {}
        for read in looked.read.lanes:
            place, one = places[read.heat, read.number]
            worked = Worked(
                lane=place.row.lane,
                place=place,
                of=len(one.places),
                log_code=read.log_code,
                so_far=others_to_go(one.places),
                parted=parts_equal(place, one.places),
                cards=None if looked.folder is None else looked.folder.cards,
            )
            for bib in _bibs(read.lane.plan):
                self.lanes.setdefault(bib, []).append(worked)

    def sheet(self, bib: str) -> Sheet:
        """The sheet of a bib that has a lane."""
        worked = self.lanes[bib]
        entrants = dict.fromkeys(one.lane.plan.bib for one in worked)
        return sheet(
            bib,
            worked,
            before=self.before.get(bib),
            wall=self._wall,
            totals=[t for name in entrants for t in own_totals(self._contests, name)],
        )


def _bibs(plan: Plan) -> Iterator[str]:
    """Whose lane it is: the athlete's, or each member's of a team."""
    members = [member.bib for member in plan.team.members]
    yield from members or [plan.bib]


def sheet_in(
    format_: str, one: Sheet, faces: Typefaces, width: int | None
) -> str | bytes:
    """A sheet in a format that was asked for; `width` is the terminal's."""
    if format_ in ("html", "pdf"):
        from judgekit.reports import sheetview

        is_pdf = format_ == "pdf"
        return sheetview.sheet_pdf(one, faces) if is_pdf else sheetview.sheet_html(one)
    from judgekit.reports import sheettext

    if format_ == "json":
        return sheettext.as_json([one])
    return page_in(format_, sheettext.sheet_page(one, width), width)


def file_names(bibs: Iterable[str]) -> dict[str, str]:
    """A name of a file for each bib: the bib itself where any system takes that.

    Bibs that would have the same name, or are no name, get one that is made from them
    and tells them apart. It holds letters, digits and - alone.
    """
    every = list(bibs)
    plain = {bib: _NOT_PLAIN.sub("-", bib).strip("-")[:_LONGEST] for bib in every}
    many = Counter(name.casefold() for name in plain.values())
    return {
        bib: bib
        if name == bib and many[name.casefold()] == 1 and not _DEVICES.fullmatch(name)
        else f"{name or 'bib'}-{sha256(bib.encode()).hexdigest()[:_CODE]}"
        for bib, name in plain.items()
    }
