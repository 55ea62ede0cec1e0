"""Where the lanes of a Floor of several stand at each size: rows of exact width.

Every lane's count is kept longest. A lane is one line, or two where there is room, or
one cell of several in a line; what has no room is named.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.manykeys import PAGE
from judgekit.ui.text import cut, fitting, joined, packed, width_of, wrapped
from judgekit.ui.widgets import parts
from judgekit.ui.widgets.block import block_lines
from judgekit.ui.widgets.boxlaying import box_rows
from judgekit.ui.widgets.narrow import first_words
from judgekit.ui.widgets.row import Row, filled, fit, run
from judgekit.ui.widgets.side import KEY_COLUMNS, panel_rows, side_rows
from judgekit.ui.widgets.twolaying import two_rows

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from judgekit.ui.views.floor import CallRow
    from judgekit.ui.views.many import LaneRow, ManyView, RowKind
    from judgekit.ui.widgets.laying import Over
    from judgekit.ui.widgets.row import Run, Tone

_ENDS = 2
_CLOCK = 10
_LEAST = (40, 12)
# From here on a lane has a line of its own, and from there on two.
_LINE_FROM, _PAIR_FROM = 60, 100
# Below so many rows there is one line for what is asked and told.
_ROOMY = 18
# A panel stands beside the lanes from so many columns on.
_BESIDE_FROM, _PANEL, _WIDE_PANEL = 68, 30, 40
_CELL = 18
# Columns of a line: sign, digit, lane; where in the work; the count.
_SIGN, _KEY, _LANE, _PLACE, _COUNT = 2, 2, 3, 7, 9
_GAPS = 4
# Rows that the chosen lane needs for its count in block figures.
_BLOCK, _SIDE, _WIDE_SIDE = 7, 30, 48
# Rows of the chosen lane at least: who it is, its calls, what comes next.
_DETAIL = 3
# Columns of a state that is only a sign.
_ONE_SIGN = 2
# So many rows for a name that must be read whole.
_NAME_ROWS = 3
_TOO_SMALL = "TOO SMALL, counting goes on"
_STOP = "0 STOP"
# Before a lane that is on the other page.
_TAB = "⇥"

_TONES: dict[RowKind, Tone] = {
    "good": "bold",
    "no-rep": "bold",
    "go": "head",
    "ask": "key",
    "stopped": "alarm",
    "over": "soft",
    "rest": "text",
}


def many_rows(view: ManyView, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """All rows of the Floor, each exactly `width` cells."""
    if over.box is not None:
        return box_rows(over.box, over, width, height)
    if width < _LEAST[0] or height < _LEAST[1]:
        return _tiny(view, over, width, height)
    columns = width - _ENDS
    head = parts.top(view.front, _CLOCK, 1, columns)
    foot = _foot(view, over, columns, height)
    rows = height - len(head) - len(foot)
    middle = parts.exactly(_middle(view, over, columns, rows), rows, columns)
    end = run("", "text", 1)
    return tuple((end, *row, end) for row in (*head, *middle, *foot))


def _foot(view: ManyView, over: Over, columns: int, height: int) -> list[Row]:
    if height >= _ROOMY:
        return parts.foot(view.front, over, columns)
    keys = parts.keys(view.front, over, columns)
    asked = parts.banner(view.front, over, columns, 1)
    return [*(asked or parts.notice(view.front, over, columns, 1)), keys]


def _middle(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    """The lanes; below them the chosen one, or beside them an open panel."""
    if over.panel is not None:
        return _with_panel(view, over, columns, rows)
    if view.pair:
        return two_rows(view, over, columns, rows)
    lanes = _lanes(view, over, columns, rows)
    left = rows - len(lanes)
    if left > 1:
        apart = [parts.blank(columns)] if left > _DETAIL else []
        lanes = [*lanes, *apart, *_below(view, over, columns, left - len(apart))]
    return lanes


def _with_panel(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    assert over.panel is not None  # noqa: S101 - asked only then
    if columns < _BESIDE_FROM:
        below = panel_rows(over.panel, over.typed_for, "", columns, rows - 1)
        lanes = _chosen_alone(view, over, columns)
        if len(view.rows) + 1 + len(below) <= rows:
            lanes = [*_lanes(view, over, columns, rows), parts.blank(columns)]
        return [*lanes, *below]
    side = _WIDE_PANEL if columns >= _PAIR_FROM else _PANEL
    room = columns - side - 1
    lanes = _beside(view, over, room, rows)
    mine = [row for row in view.rows if row.lane == view.chosen]
    whose: list[Row] = [
        (run(line, "ask", side),)
        for row in mine
        for line in _whole(f"▶ {row.lane}  {row.athlete[-1]}", side)
    ]
    panel = list(panel_rows(over.panel, over.typed_for, "", side, rows - len(whose)))
    panel = [*whose, *panel]
    return parts.side_by_side(lanes, panel, (room, side), rows)


def _beside(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    """The lanes beside a panel, below each its round and movement if all have room."""
    lanes = _lanes(view, over, columns, rows)
    if columns >= _LINE_FROM or rows < 2 * len(view.rows):
        return lanes
    room = columns - _KEY - _ENDS - _PLACE
    works = [
        f"{'':{_KEY + _ENDS}}{fit(_place(r), _PLACE)}{fitting(r.movement, room)}"
        for r in view.rows
    ]
    soft: list[Row] = [(run(work, "soft", columns),) for work in works]
    return [line for pair in zip(lanes, soft, strict=True) for line in pair]


def _whole(name: str, columns: int) -> list[str]:
    fits = width_of(name) <= columns
    return [name] if fits else wrapped(name, columns, _NAME_ROWS)


def _chosen_alone(view: ManyView, over: Over, columns: int) -> list[Row]:
    """The chosen lane, and in the same line that the others are hidden."""
    mine = [row for row in view.rows if row.lane == view.chosen][:1]
    others = f"… {len(view.rows) - len(mine)} hidden"
    room = columns - width_of(others) - 1
    cells = [_cell(row, mine, view, over, room) for row in mine]
    shown = filled(cells[0], room) if cells else (run("", "text", room),)
    return [(*shown, run(f" {others}", "soft", columns - room))]


def _hidden(many: int, columns: int) -> Row:
    lanes = "1 lane is" if many == 1 else f"{many} lanes are"
    return (run(f"… {lanes} hidden here, and counting", "soft", columns),)


# --- the lanes ------------------------------------------------------------------------


def _lanes(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    """Every lane, or as many as have room and how many have none."""
    many = len(view.rows)
    if columns >= _LINE_FROM and rows >= many:
        two = columns >= _PAIR_FROM and rows >= 2 * many + _BLOCK
        return [
            line
            for row in view.rows
            for line in _lines(row, view, over, columns, two=two)
        ]
    across = 1 if rows >= many else max(1, (columns + 1) // (_CELL + 1))
    return _cells(view, over, columns, rows, across)


def _lines(
    row: LaneRow, view: ManyView, over: Over, columns: int, *, two: bool
) -> Iterator[Row]:
    wide = columns - _SIGN - _KEY - _LANE - _PLACE - _COUNT - _GAPS
    who, movement = wide * 15 // 51, wide * 16 // 51
    says = wide - who - movement
    tone = _row_tone(row, view, over)
    first: list[Run] = [
        (_turned(row, _sign(row, view, over)), tone or "bold"),
        (fit(_key(row), _KEY), tone or ("key" if row.key else "soft")),
        (fit(_number(row), _LANE), tone or "soft"),
        (fit(_name(row, view.rows, who), who + 1), tone or "bold"),
        (fit(_place(row), _PLACE), tone or "soft"),
        (fit(fitting(row.movement, movement), movement + 1), tone or "text"),
        (fit(_counted(row, _COUNT), _COUNT, right=True), tone or "bold"),
        (" " * 2, tone or "text"),
        (fit(_status(row, says, two=two), says), _says_tone(row, tone)),
    ]
    yield filled(first, columns)
    if two:
        indent = _SIGN + _KEY + _LANE
        bar = parts.bar(row.done, row.target, who) if row.target else ""
        ahead = _PLACE + movement + _COUNT + 1 + 2
        yield filled(
            [
                (" " * indent, "text"),
                (fit(bar, who + 1), "text"),
                (fit(fitting(row.following, ahead - 1), ahead), "soft"),
                (fitting(row.faults, says), "text"),
            ],
            columns,
        )


def _cells(
    view: ManyView, over: Over, columns: int, rows: int, across: int
) -> list[Row]:
    """Lanes side by side, read down each column; the chosen one is never hidden."""
    shown = list(view.rows)
    room = rows * across
    hidden = 0
    if len(shown) > room:
        shown = _most_wanted(view, max(1, (rows - 1) * across))
        hidden = len(view.rows) - len(shown)
    wide = (columns - (across - 1)) // across
    deep = -(-len(shown) // across)
    found: list[Row] = []
    for line in range(deep):
        runs: list[Run] = []
        for row in shown[line::deep]:
            runs += [(" ", "text")] if runs else []
            runs += filled(_cell(row, shown, view, over, wide), wide)
        found.append(filled(runs, columns))
    return [*found, _hidden(hidden, columns)] if hidden else found


def _most_wanted(view: ManyView, many: int) -> list[LaneRow]:
    """So many lanes in their order: stopped ones and the chosen one before others."""
    ranked = sorted(view.rows, key=lambda r: (r.lane != view.chosen, r.kind == ""))
    kept = {row.lane for row in ranked[:many]}
    return [row for row in view.rows if row.lane in kept]


def _cell(
    row: LaneRow, among: Sequence[LaneRow], view: ManyView, over: Over, columns: int
) -> list[Run]:
    """Sign, digit, name, count and state in few columns."""
    tone = _row_tone(row, view, over)
    state = _ONE_SIGN if columns < _CELL * 2 else columns // 3
    count = 6 if columns < _CELL * 2 else _COUNT
    who = columns - 1 - 2 - 1 - count - 1 - state
    small = state == _ONE_SIGN
    says = _state_sign(row) if small else _status(row, state, two=False)
    return [
        (_sign(row, view, over)[:1] or (" " if row.key else _TAB), tone or "bold"),
        (fit(_digit(row), 2, right=True), tone or ("key" if row.key else "soft")),
        (" ", tone or "text"),
        (fit(_name(row, among, who), who), tone or "bold"),
        (fit(_counted(row, count), count, right=True), tone or "bold"),
        (" ", tone or "text"),
        (fit(says, state), _says_tone(row, tone)),
    ]


def _digit(row: LaneRow) -> str:
    """The digit that chooses it; of a lane on another page its number, if longer."""
    number = str(row.lane)
    return row.key or (number if len(number) > 1 else "·")


def _turned(row: LaneRow, sign: str) -> str:
    """The sign; behind it that tab comes before the digit of a lane elsewhere."""
    return f"{fit(sign, 1)}{' ' if row.key else _TAB}"


def _key(row: LaneRow) -> str:
    """The digit that chooses it, on its own page."""
    return row.key or str((row.lane - 1) % PAGE + 1)


def _number(row: LaneRow) -> str:
    return "" if row.key == str(row.lane) else str(row.lane)


def _sign(row: LaneRow, view: ManyView, over: Over) -> str:
    if row.lane == view.chosen:
        return "▶"
    return "✗" if row.lane in over.flashing else ""


def _row_tone(row: LaneRow, view: ManyView, over: Over) -> Tone | None:
    """One tone for a whole row that must not be missed; None for a usual one."""
    if row.lane in over.flashing:
        return "alarm"
    if row.lane == view.chosen:
        return "ask"
    return "soft" if row.kind == "over" else None


def _says_tone(row: LaneRow, tone: Tone | None) -> Tone:
    if row.kind == "stopped":
        return "alarm"
    return tone or _TONES.get(row.kind, "text")


def _name(row: LaneRow, among: Sequence[LaneRow], columns: int) -> str:
    """The number and the name; in few columns what is called aloud of it.

    All rows have their numbers, or none has: else they would be looked for. Two of one
    first name are told apart by the letter after it.
    """
    said = row.athlete[-1]
    if all(width_of(one.athlete[-1]) <= columns for one in among):
        return said
    _, _, name = said.partition("  ")
    first, _, others = name.partition(" ")
    initial = (f"{first} {others[0]}.",) if others else ()
    ways = (name, *initial, first) if name else (said,)
    return cut(fitting(ways, columns), columns)


def _counted(row: LaneRow, columns: int) -> str:
    """The count; of work that is over the number alone where the words do not fit."""
    return fitting((row.count, row.count.removesuffix(" in all")), columns)


def _place(row: LaneRow) -> str:
    return row.place[-1].replace(" of ", "/").removeprefix("round ")


def _status(row: LaneRow, columns: int, *, two: bool) -> str:
    """State, own start and no-reps, as far as there is room for each."""
    state = fitting(row.says, columns)
    tokens = [state] if state else []
    if row.late:
        tokens.append(row.late)
    left = columns - width_of("  ".join(tokens)) - 2 * bool(tokens)
    faults = fitting(row.faults, left)
    if faults and not two and width_of(faults) <= left:
        tokens.append(faults)
    return joined(tokens, columns, 2) if tokens else ""


def _state_sign(row: LaneRow) -> str:
    sign = row.says[-1][:1] if row.says[0] else row.faults[-1]
    return sign if width_of(sign) <= _ONE_SIGN else sign[:1]


# --- the chosen lane ------------------------------------------------------------------


def _below(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    """The chosen lane with its count and calls, or what is worth knowing of all."""
    if over.trial is not None:
        big = block_lines(over.trial.big, (), columns, rows)
        return [(run(line, "text", columns),) for line in big]
    mine = next((row for row in view.rows if row.lane == view.chosen), None)
    if mine is None:
        tells = [fitting(ways, columns) for ways in view.tells[:rows]]
        return [(run(words, "soft", columns),) for words in tells]
    head = _heading(mine, columns)
    if rows > _BLOCK and columns >= _LINE_FROM:
        return [head, *_large(view, over, columns, rows - 1)]
    if rows >= _BLOCK and not view.keys:
        # Pads say the calls; the count has their room.
        return [head, *_figures(view, columns, rows - 1)]
    following = fitting(view.front.following, columns)
    below: list[Row] = [(run(following, "text", columns),)] if rows > 1 else []
    if not view.keys:
        return [head, *below]
    calls = _calls(view.front.calls, columns, rows - 1 - len(below))
    return [head, *calls, *below]


def _calls(calls: Sequence[CallRow], columns: int, rows: int) -> list[Row]:
    """The calls, a line each with what must be there, or side by side."""
    fixed = ("n no rep, why next", _STOP)
    if len(calls) < rows and columns >= _LINE_FROM:
        wide = max((width_of(call.call) for call in calls), default=0) + 2
        each: list[Row] = [
            filled(
                [
                    (fit(call.key, KEY_COLUMNS), "key"),
                    (fit(call.call, wide), "bold"),
                    (cut(call.says, columns - KEY_COLUMNS - wide), "soft"),
                ],
                columns,
            )
            for call in calls
        ]
        return [*each, (run(joined(fixed, columns), "bold", columns),)]
    lines = packed((*(f"{c.key} {c.call}" for c in calls), *fixed), columns, 3)
    return [(run(line, "bold", columns),) for line in lines[: max(0, rows)]]


def _heading(row: LaneRow, columns: int) -> Row:
    right = (f"{row.count}   no-reps {row.no_reps}", row.count)
    names = (f"{row.athlete[0]}   ", f"{row.athlete[-1]}   ")
    ways = [f"▶ {row.lane}  {name}{move}" for name in names for move in row.movement]
    if width_of(f"{ways[-1]} {row.count}") > columns:
        # The movement stands in the lane's row, and the whole name nowhere else.
        ways = [f"▶ {row.lane}  {row.athlete[-1]}"]
    return parts.ends(tuple(ways), right, ("key", "bold"), columns)


def _large(view: ManyView, over: Over, columns: int, rows: int) -> list[Row]:
    """The chosen lane's count in block figures, its calls beside it."""
    front = view.front
    side = _WIDE_SIDE if columns >= _PAIR_FROM else _SIDE
    room = columns - side - 1
    left = _figures(view, room, rows)
    calls = list(side_rows(front.calls, parts.large_words(front, over), side, rows))
    return parts.side_by_side(left, calls, (room, side), rows)


def _figures(view: ManyView, columns: int, rows: int) -> list[Row]:
    """The count in block figures, and what comes next."""
    front = view.front
    beside = (front.beside, "", front.mark) if front.beside or front.mark else ()
    lines = list(block_lines((front.big,), beside, columns, rows - 1))
    lines = [*lines[: rows - 1], fitting(front.following, columns)]
    return [(run(line, "text", columns),) for line in lines]


# --- too small ------------------------------------------------------------------------


def _tiny(view: ManyView, over: Over, width: int, height: int) -> tuple[Row, ...]:
    """What must be known first, then as many counts as there is room for."""
    front = view.front
    words = first_words(front, over)[:1] or [""]
    first = [line for line in wrapped(words[0], width, max(1, height - 3)) if line]
    counts = [f"{_sign(row, view, over).strip()}{_brief(row)}" for row in _ranked(view)]
    lines = packed(counts, width, 1)
    room = max(1, height - len(first) - 2)
    if len(lines) > room:
        hidden = len(view.rows) - sum(len(line.split(" ")) for line in lines[:room])
        lines = [*lines[:room], f"… {hidden} hidden"]
    said: Sequence[str] = [*first, *lines, f"{_STOP} {front.clock}", _TOO_SMALL]
    said = [*said, *[""] * height][:height]
    return tuple(filled([run(line, "bold", width)], width) for line in said)


def _ranked(view: ManyView) -> list[LaneRow]:
    return sorted(view.rows, key=lambda row: row.lane != view.chosen)


def _brief(row: LaneRow) -> str:
    sign = "■" if row.kind == "stopped" else ""
    return f"{row.lane}:{row.count.replace(' ', '')}{sign}"
