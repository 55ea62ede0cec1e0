"""Columns that tables of lanes and of sets share: one fact has one name and key."""

from __future__ import annotations

from judgekit.reports.layout import Column

HEAT = Column(name="Heat", key="heat")
LANE = Column(name="Lane", key="lane", align="right")
BIB = Column(name="Bib", key="bib")
NAME = Column(name="Name", key="name")
DIVISION = Column(name="Division", key="division")
WORKOUT = Column(name="Workout", key="workout")
PART = Column(name="Part", key="part")
ROUND = Column(name="Round", key="round", align="right")
PLACE = Column(name="Place in the round", key="place", align="right")
MOVEMENT = Column(name="Movement", key="movement")
LOAD = Column(name="Load", key="load")
UNIT = Column(name="Unit", key="unit")
TARGET = Column(name="Target", key="target", align="right")
GOOD = Column(name="Good", key="good", align="right")
NO_REPS = Column(name="No-reps", key="no_reps", align="right")
