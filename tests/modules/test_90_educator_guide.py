"""The educator's guide: its commands are there, its tables are the course's."""

import re

from cubital import tables
from cubital.cli import parser

NAME = "90-educator-guide"


def test_every_command_in_it_can_be_given(lessons):
    text = "\n".join(c.source for c in lessons[NAME].cells if c.cell_type == "markdown")
    commands = re.findall(r"`cubital ([^`]+)`", text)
    assert len(commands) >= 6
    for command in commands:
        parser().parse_args(command.split())


def test_tables_show_every_figure_and_every_objective(ran):
    shown = {c.id: c.outputs[0].data for c in ran(NAME).cells if c.get("outputs")}
    table = shown["figures-that-ship"]["text/plain"]
    words = set(re.findall(r"\w+", table))
    assert words & set(tables.profile()._fields) == set(tables.FOLLOWED)
    for objective in tables.curriculum().objectives:
        assert objective.title in shown["observed-practice-table"]["text/plain"]
