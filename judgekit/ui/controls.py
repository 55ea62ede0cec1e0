"""From keys to acts: the Floor's one door for a key, without Textual and a clock.

A key always means the same thing; an open panel takes digits only, and b for the set
before the one asked about. Before go nothing counts and each key says what it would do.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from judgekit.core import looking
from judgekit.core.classmates import Classmate
from judgekit.core.entry import (
    ClassOver,
    Cue,
    Freeze,
    GoOn,
    NoRep,
    Rep,
    Stop,
)
from judgekit.core.keyed import FAULT_DIGITS, fault_of
from judgekit.core.press import (
    AnswerExtra,
    AnswerHorn,
    Called,
    CountAgain,
    Keyed,
    TakeBackOne,
)
from judgekit.ui import morepanels, panels, watchpanels
from judgekit.ui.actions import action, keymap
from judgekit.ui.asking import ANSWER_MS, Asking
from judgekit.ui.effects import Effect, Leave, Opened, Say, Trial
from judgekit.ui.keys import DEAD, latin_of
from judgekit.ui.logmenu import log_menu
from judgekit.ui.openitems import open_items_menu
from judgekit.ui.openpanel import OpenPanel, writes
from judgekit.ui.panels import (
    Arrives,
    EndAll,
    Go,
    Known,
    Menu,
    Older,
    Panel,
    Submit,
    ToCard,
    ToCheck,
    Typing,
    Writing,
)
from judgekit.ui.sayings import choices, items, no_such_key, opens_card
from judgekit.ui.stoppanels import with_signs
from judgekit.ui.trypanels import bar_to_check, load_panel, with_team
from judgekit.ui.typed import after_key, typed_act, typed_words
from judgekit.ui.views.doubt import open_doubt
from judgekit.ui.views.phase import (
    has_ended,
    horn_asked,
    judged_set,
    shown_set,
    voiding,
)
from judgekit.ui.watchpanels import offered_act

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from judgekit.core.plan import PlanFault
    from judgekit.core.state import Lane
    from judgekit.ui.asking import Question
    from judgekit.ui.moment import Moment

# The question is answered in time if the finger set out while it stood.
LAG_MS = 400
# What is typed of a unit after a measured number, which has its unit already.
_UNIT_KEYS = frozenset({"space", *"cmftinkglb"})


class Controls:
    """What keys mean just now: the open panel, and the question that is open."""

    def __init__(
        self,
        known: Known | None = None,
        extra: Iterable[tuple[str, tuple[str, ...]]] = (),
        lane_keys: tuple[tuple[str, str], ...] = (),
        asking: Asking | None = None,
    ) -> None:
        self.lane_keys = lane_keys
        self._open = OpenPanel()
        self._known = known or Known()
        self._keys = keymap(extra)
        self._asking = asking or Asking()

    @property
    def panel(self) -> Panel | None:
        """The panel that is open."""
        return self._open.panel

    def press(self, key: str, moment: Moment, sign: str = "") -> Effect:
        """What one key does, given by its one name (see `keys.name_of`).

        `sign` is what it would write into a text.
        """
        if isinstance(self.panel, Writing):
            taken = self._write(self.panel, key, sign, moment)
            if taken is not None:
                return taken
        key = self._meant(key, moment)
        asked = self._asking.taken(moment.boot_ms)
        late = self._open.too_late
        taken = self._in_panel(key, moment) or late(key, sign, moment.boot_ms)
        if taken is not None:
            return taken
        name = self._action_of(key, moment)
        if name is not None:
            return self._act(name, moment, asked)
        return self._fault(key, moment)

    def _meant(self, key: str, moment: Moment) -> str:
        """The key in the place of another script's letter, where that one is none."""
        latin = latin_of(key)
        if latin is None:
            return key
        card = moment.lane.plan.card_of(judged_set(moment.lane, moment.at))
        known = {*self._keys, *(fault.key.casefold() for fault in card.faults)}
        return latin if key not in known and latin in known else key

    def stops(self, key: str) -> bool:
        """Whether the key is STOP, where no number is being typed."""
        return self._keys.get(key) == "stop"

    def types(self, key: str, sign: str = "") -> bool:
        """Whether the key goes into a text, where the same one may come twice."""
        return self._open.types(key, sign)

    def wants(self, key: str, boot_ms: int, sign: str = "") -> bool:
        """Whether the key is for the open panel, or for one that has just closed."""
        return self._open.wants(key, sign, self._keys.get(key), boot_ms)

    def open(self, panel: Panel, boot_ms: int) -> None:
        """Open a panel that no key has asked for."""
        self._open.show(panel, boot_ms)

    def close(self, opener: str) -> None:
        """Close the panel that this opened, if it is the one that is open."""
        if self.panel is not None and self.panel.opener == opener:
            self._open.panel = None

    def opened_at(self, boot_ms: int) -> None:
        """The panel's time begins then: its key may have waited for a lane."""
        self._open.touch(boot_ms)

    def leave_off(self) -> None:
        """Close the panel, and ask nothing any more: the judge turns elsewhere."""
        self._open.panel = None
        self._asking.taken(0)

    def panel_keys(self, boot_ms: int) -> tuple[str, ...]:
        """The keys of the open panel, and that it is about to close by itself."""
        return self._open.keys(boot_ms)

    def lapse(self, boot_ms: int) -> bool:
        """Close a panel that was left alone; says whether it did."""
        return self._open.lapse(boot_ms)

    def asks(self, boot_ms: int) -> bool:
        """Whether a question stands that the next key answers."""
        return self._asking.stands(boot_ms)

    def typed_for(self) -> str:
        """What the number being typed stands for, once it can be said."""
        panel = self.panel
        return typed_words(panel, self._known) if isinstance(panel, Typing) else ""

    # --- panels -----------------------------------------------------------------------

    def _show(self, panel: Panel | None, moment: Moment) -> Opened:
        self._open.show(panel, moment.boot_ms)
        return Opened()

    def _shown(self, found: Effect | Typing, moment: Moment) -> Effect:
        """Open what is a panel; the rest is an effect already."""
        return self._show(found, moment) if isinstance(found, Typing) else found

    def _in_panel(self, key: str, moment: Moment) -> Effect | None:
        """What the key does in the open panel, None if it is none of its business."""
        self._open.lapse(moment.boot_ms)
        panel = self.panel
        if panel is None:
            return None
        closes = key == "escape" or self._keys.get(key) == panel.opener
        if closes and not (isinstance(panel, Typing) and key == "enter"):
            return self._show(None, moment)
        if isinstance(panel, Menu):
            return self._choose(panel, key, moment)
        return self._type(panel, key, moment) if isinstance(panel, Typing) else None

    def _choose(self, menu: Menu, key: str, moment: Moment) -> Effect | None:
        if key not in FAULT_DIGITS:
            return None
        if int(key) > len(menu.choices):
            self._open.touch(moment.boot_ms)
            return Say(text=choices(len(menu.choices)))
        leads = menu.choices[int(key) - 1].leads
        if isinstance(leads, Older):
            leads = log_menu(moment.lane, self._known, leads.skip)
        if isinstance(leads, Menu | Typing | Writing):
            return self._show(leads, moment)
        self._show(None, moment)
        return self._ends_all(moment) if isinstance(leads, EndAll) else leads

    def _ends_all(self, moment: Moment) -> Say:
        """Asked of another key, as a digit that came twice would end all work."""
        self._asking.ask("over", moment.boot_ms)
        says = "TIME for all lanes? y: all that is open ends now"
        return Say(text=says, for_ms=ANSWER_MS)

    def _write(
        self, panel: Writing, key: str, sign: str, moment: Moment
    ) -> Effect | None:
        """A name grows by what is typed; None where the key is no part of one."""
        if self._open.lapse(moment.boot_ms):
            return None
        typed = panel.typed
        if key == "escape":
            return self._show(None, moment)
        if key == "enter":
            return self._written(typed.strip(), moment)
        if key == "backspace":
            typed = typed[:-1]
        elif writes(sign):
            typed = (typed + sign).lstrip()[: panels.NAME_MOST]
        else:
            return None
        return self._show(replace(panel, typed=typed), moment)

    def _written(self, name: str, moment: Moment) -> Effect:
        self._show(None, moment)
        return Arrives(mate=Classmate(name=name)) if name else Opened()

    def _type(self, panel: Typing, key: str, moment: Moment) -> Effect | None:
        if key == "enter":
            return self._typed(panel, moment)
        if panel.what == "measure" and panel.typed and key in _UNIT_KEYS:
            return Say(text=f"{panel.typed} {panel.unit}: enter keeps it.")
        changed = after_key(panel, key, moment.lane)
        return None if changed is None else self._show(changed, moment)

    def _typed(self, panel: Typing, moment: Moment) -> Effect:
        self._show(None, moment)
        if not panel.typed.strip("."):
            return offered_act(panel) or Opened()
        act = typed_act(panel, self._known, moment.boot_ms, moment.heat_ms)
        return self._show(act, moment) if isinstance(act, Menu) else act

    # --- actions ----------------------------------------------------------------------

    def _action_of(self, key: str, moment: Moment) -> str | None:
        """The action of a key; an extra key never takes a fault's letter away."""
        name = self._keys.get(key)
        if name is None or action(name).key == key:
            return name
        lane = moment.lane
        card = lane.plan.card_of(judged_set(lane, moment.at))
        return None if any(f.key == key for f in voiding(card)) else name

    def _act(self, name: str, moment: Moment, asked: Question) -> Effect:
        answer = self._answer(name, moment, asked)
        if answer is not None:
            return answer
        if moment.phase == "before go" and action(name).when == "heat":
            known = action(name)
            return Trial(big=known.big, says=f"{known.key}: {known.says}")
        plain = _PLAIN.get(name)
        if name == "stop":
            # What was being typed or chosen can wait.
            self._show(None, moment)
        if plain is not None:
            return Submit(act=plain())
        own: Mapping[str, Callable[[], Effect]] = {
            "no-rep": lambda: self._no_rep(moment),
            "go": lambda: self._go(moment),
            "move-on": lambda: self._show(panels.move_on_menu(), moment),
            "back-to": lambda: self._show(
                panels.back_menu(moment.lane, moment.at), moment
            ),
            "freeze": lambda: self._freeze(moment),
            "reading": lambda: self._enter(moment),
            "more": lambda: self._more(moment),
            "several": lambda: self._shown(
                watchpanels.several(moment.lane, moment.phase, moment.at), moment
            ),
            "look": lambda: self._shown(
                watchpanels.look(moment.lane, moment.phase), moment
            ),
            "log": lambda: self._show(log_menu(moment.lane, self._known), moment),
            "yes": lambda: self._yes(moment),
            "keys": lambda: self._show(
                panels.keys_page(moment.lane, moment.at, self.lane_keys), moment
            ),
        }
        return own[name]()

    def _answer(self, name: str, moment: Moment, asked: Question) -> Effect | None:
        """What closes the desk or starts the clock, and what asks whether to close."""
        if name == "yes" and asked == "go" and moment.phase == "before go":
            menu = open_items_menu(moment.open_items)
            return self._show(menu, moment) if moment.open_items else Go()
        if name == "yes" and asked == "over":
            return Submit(act=ClassOver())
        if name == "reading" and moment.phase == "before go" and moment.checks:
            return ToCheck()
        words = self._asking.closing(name, asked, moment.boot_ms, moment.waiting)
        if words is None:
            return None
        return Say(text=words, for_ms=ANSWER_MS) if words else Leave()

    def _go(self, moment: Moment) -> Effect:
        match moment.phase:
            case "before go":
                self._asking.ask("go", moment.boot_ms)
                left = moment.open_items
                says = "GO? y starts all lanes in ten seconds"
                if left:
                    says = f"GO? {items(left)} of the lane check open: "
                    says += "y asks why and goes, enter shows them"
                return Trial(big=("GO?",), says=says, for_ms=ANSWER_MS)
            case "stopped" if not has_ended(moment.lane, moment.at):
                return Submit(act=GoOn(by_mistake=True))
            case "over" | "accepted" | "absent" | "stopped":
                # Once all is over nobody goes on: a mistake is said on the scorecard.
                return ToCard()
            case "countdown":
                return Say(text="The countdown is on. Recall stands behind w.")
            case _:
                return Say(text="The clock is on already.")

    def _no_rep(self, moment: Moment) -> Effect:
        if self.panel is None and horn_asked(moment.lane, moment.phase):
            return Submit(act=AnswerHorn(counts=False))
        return Submit(act=NoRep())

    def _yes(self, moment: Moment) -> Effect:
        if self.panel is not None:
            # It covers what is asked, and asks something else.
            return Say(text=f"{', '.join(panels.keys_of(self.panel))}.")
        if horn_asked(moment.lane, moment.phase):
            return Submit(act=AnswerHorn(counts=True))
        found = open_doubt(moment.lane, moment.phase, moment.at, LAG_MS)
        if found is None:
            checked = bar_to_check(moment.lane, moment.at)
            return checked or Say(text="Nothing is asked.")
        # By its name: what is still on its way to the log must not be taken for it.
        return Submit(act=AnswerExtra(yes=True, target=found.entry.ref))

    def _freeze(self, moment: Moment) -> Effect:
        if any(hold.kind == "freeze" for hold in moment.lane.holds):
            return self._show(panels.unfreeze_menu(moment.lane), moment)
        return Submit(act=Freeze())

    def _more(self, moment: Moment) -> Effect:
        lane = moment.lane
        if moment.all_lanes:
            menu = morepanels.all_menu(lane, self._known, moment.at)
            return self._show(menu, moment)
        menu = (
            with_signs(morepanels.stopped_menu(lane), lane, moment.at)
            if lane.stopped and not lane.closed
            else with_team(lane, morepanels.more_menu(lane, self._known, moment.at))
        )
        return self._show(menu, moment)

    def _enter(self, moment: Moment) -> Effect:
        lane = moment.lane
        if lane.plan.watching == "reported" and moment.phase not in _ENDED:
            found = watchpanels.report(lane, moment.phase, moment.at)
            return self._shown(found, moment)
        key = looking.monitor_set(lane, moment.at)
        if key is not None and not lane.closed:
            movement = lane.plan.movement(key)
            name = lane.plan.card_of(key).name
            title = f"{name} shows, in {movement.unit}"
            return self._show(
                Typing(opener="reading", title=title, what="reading"), moment
            )
        load = load_panel(lane, moment.phase, moment.at)
        if load is not None:
            return self._show(load, moment)
        if moment.phase in _ENDED:
            # Of several lanes the next keys are the others': no scorecard over them.
            return Say(text=opens_card(lane)) if self.lane_keys else ToCard()
        if moment.phase == "horn":
            return Say(text="The horn has gone: there is nothing to type.")
        name = lane.plan.card_of(shown_set(lane, moment.at)).name
        return Say(text=f"{name} has no monitor: space counts each rep.")

    # --- faults -----------------------------------------------------------------------

    def _fault(self, key: str, moment: Moment) -> Effect:
        lane, working = moment.lane, moment.phase != "before go"
        if moment.in_hand and working and _calls_somewhere(lane, key):
            return Submit(act=Keyed(key=key))
        card = lane.plan.card_of(judged_set(lane, moment.at))
        fault = fault_of(card, key)
        if fault is None:
            return Say(text=no_such_key(key, card.name), dead=DEAD)
        if fault.weight == "void":
            return self._call(fault, moment)
        if lane.plan.cues == "on" and working:
            return Submit(act=Cue(fault=fault.id))
        words = f"{key} {fault.call} is a cue: it never changes the count."
        return Say(text=words, dead="is a cue")

    def _call(self, fault: PlanFault, moment: Moment) -> Effect:
        if moment.phase != "before go":
            return Submit(act=Called(fault=fault.id))
        card = moment.lane.plan.card_of(shown_set(moment.lane, moment.at))
        criterion = card.criterion_of(fault)
        must = criterion.says if criterion is not None else fault.call
        return Trial(big=("NO REP", fault.call), says=f"{fault.key}: {must}")


# When nothing is left but the scorecard.
_ENDED = frozenset({"over", "accepted", "absent"})
_PLAIN: Mapping[str, Callable[[], Rep | TakeBackOne | CountAgain | Stop]] = {
    "good": Rep,
    "take-back": TakeBackOne,
    "count-again": CountAgain,
    "stop": Stop,
}


def _calls_somewhere(lane: Lane, key: str) -> bool:
    """Whether the key names a fault on any card of the workout."""
    return any(fault_of(card, key) is not None for card in lane.plan.cards)
