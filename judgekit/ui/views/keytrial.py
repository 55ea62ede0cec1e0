"""Keys tried one after another: what to press now, and what each has sent."""

from __future__ import annotations

from judgekit.core.values import dataclass
from judgekit.ui.keys import latin_of

SKIP, LEAVE = "tab", "escape"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A key by its name, and what it is on the Floor."""

    key: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyTrial:
    """How far a trial is: `came` pairs each key with what it sent, empty for none."""

    wanted: tuple[Wanted, ...]
    came: tuple[tuple[str, str], ...] = ()

    @property
    def now(self) -> Wanted | None:
        """The key to press; None when all were tried."""
        at = len(self.came)
        return self.wanted[at] if at < len(self.wanted) else None

    def pressed(self, key: str) -> KeyTrial:
        """After a key. Tab says that there is no such key here."""
        if self.now is None:
            return self
        sent = "" if key == SKIP != self.now.key else key
        return KeyTrial(wanted=self.wanted, came=(*self.came, (self.now.key, sent)))

    @property
    def missing(self) -> tuple[str, ...]:
        """Keys that were skipped or never reached."""
        tried = dict(self.came)
        return tuple(one.key for one in self.wanted if not tried.get(one.key))

    @property
    def other(self) -> tuple[tuple[str, str], ...]:
        """Keys that sent something else, and what; another layout's letter is right."""
        return tuple(
            (key, sent)
            for key, sent in self.came
            if sent and key not in (sent, latin_of(sent))
        )


def lines(trial: KeyTrial) -> tuple[str, ...]:
    """What stands on the screen: what came, then what to press."""
    told = tuple(f"{key:<10} {_came(key, sent)}" for key, sent in trial.came)
    now = trial.now
    if now is None:
        return (*told, "", "That was all. Press escape.")
    left = len(trial.wanted) - len(trial.came)
    ask = f"Press  {now.key.upper()}   ({now.says})"
    return (*told, "", ask, "", f"{left} to go   tab: no such key   escape: enough")


def _came(key: str, sent: str) -> str:
    if not sent:
        return "not there"
    if key in (sent, latin_of(sent)):
        return "came"
    return f"sent {sent}"
