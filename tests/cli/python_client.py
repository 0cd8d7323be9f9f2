#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The Python client: answers of commands, studies as they come, errors with their status; and the types it is installed with.

usage: python_client.py PROGRAM PROJECT
"""
import os
import subprocess
import sys
import tempfile

PROGRAM, PROJECT = (os.path.abspath(path) for path in sys.argv[1:3])
sys.path.insert(0, os.path.join(PROJECT, "src", "python"))
folder = tempfile.TemporaryDirectory()
os.environ.update(BAKEWRIGHT_PROGRAM=PROGRAM, BAKEWRIGHT_PROFILES=os.path.join(PROJECT, "profiles"), HOME=folder.name,
                  BAKEWRIGHT_BOOK=os.path.join(folder.name, "test.book"))
import bakewright  # noqa: E402

VAN = {"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake"}

plan = bakewright.ask("plan", **VAN, set_point="61 degC", hold="63 min")
assert plan["format"] == "bakewright.plan" and plan["feasible"], plan
assert not bakewright.ask("plan", **VAN, set_point="50 degC", longest_hold="20 min", confidence="none")["feasible"]
try:
    bakewright.ask("plan", **{**VAN, "shell": "library_vam"})
    raise SystemExit("a shell that is not there was planned for")
except bakewright.BakewrightError as error:
    assert error.status == 2 and "library_van" in str(error), error

# A study as it comes: the first answers are there while later cases are still being made. 64 cases are answered at a time.
made = []


def cases():
    for minutes in range(1, 201):
        made.append(minutes)
        yield {"id": minutes, **VAN, "set-point": "61 degC", "hold": f"{minutes} min", "confidence": "none"}


answers = list(bakewright.study(cases(), threads=2))
assert [answer["id"] for answer in answers] == made == list(range(1, 201))
words = [answer["word"] for answer in answers]
assert words[0] == "UNDER" and "GOOD" in words, words
single = bakewright.ask("plan", **VAN, set_point="61 degC", hold="63 min", confidence="none")
assert answers[62]["zones"][0]["word"] == single["verdict"]["zones"][0]["word"]

wrong = list(bakewright.study([{"id": "a"}, {"id": "b", **VAN, "cycle": "clear_60", "confidence": "none"}]))
assert [("error" in answer) for answer in wrong] == [True, False], wrong
for early in bakewright.study({**VAN, "set-point": "61 degC", "hold": f"{m} min", "confidence": "none"} for m in range(1, 10_000)):
    break  # whoever has seen enough stops; the program is ended


def broken():
    yield {"id": 1, **VAN, "cycle": "clear_60", "confidence": "none"}
    raise ValueError("the caller's own")


try:
    list(bakewright.study(broken()))
    raise SystemExit("a fault in the caller's cases was lost")
except ValueError:
    pass

types = subprocess.run([sys.executable, os.path.join(PROJECT, "src", "python", "make_types.py"), os.path.join(PROJECT, "docs", "json.schema.json")],
                       capture_output=True, text=True, check=True).stdout
scope: dict = {}
exec(types, scope)  # pylint: disable=exec-used
assert set(scope["StudyAnswerDocument"].__required_keys__) == {"format", "format_version", "line"}
for answer in answers:
    assert set(answer) <= set(scope["StudyAnswerDocument"].__annotations__), answer
print("all checks held")
