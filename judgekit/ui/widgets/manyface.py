"""A Floor of several lanes, drawn by one widget."""

from __future__ import annotations

from typing import TYPE_CHECKING

from judgekit.ui.views.many import ManyView
from judgekit.ui.widgets.face import AnyFace
from judgekit.ui.widgets.manylaying import many_rows

if TYPE_CHECKING:
    from judgekit.ui.widgets.laying import Over
    from judgekit.ui.widgets.painted import Ground
    from judgekit.ui.widgets.row import Row


class ManyFace(AnyFace[ManyView], can_focus=False):
    """Rows of lanes. One lane's NO REP turns its row over, STOP the screen."""

    def _ground_of(self, view: ManyView, over: Over) -> Ground:
        return "usual" if over.box is None else "stopped"

    def _laid(self, view: ManyView, over: Over) -> tuple[Row, ...]:
        return many_rows(view, over, *self.size)
