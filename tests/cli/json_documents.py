#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Every document that the program answers with is as docs/json.schema.json says.

usage: json_documents.py PROGRAM PROJECT [--print]

Runs the demo's commands with --json, asks the page for what it alone answers with, and validates each document, also those that stand
inside another. A format of the schema that was never met is a failure: it would be checked by nobody. With --print the documents are
written to standard output in place of being checked, one a line.
"""

import http.client
import json
import os
import subprocess
import sys
import tempfile
import time

PROGRAM, PROJECT = (os.path.abspath(path) for path in sys.argv[1:3])
PRINT = "--print" in sys.argv[3:]
sys.path.insert(0, os.path.join(PROJECT, "tests", "page"))
from served import Served  # noqa: E402

VAN = ["--shell", "library_van", "--booth", "stirred_insulated"]
CLEAR = [*VAN, "--coating", "clear_low_bake"]
OUT = ["--checked", "gas", "--checked", "tanks"]

COMMANDS = [
    ["check", "library_van", "clear_low_bake"],
    ["new", "shell", "--shape", "box van", "--size", "7 x 2.3 x 2.9 m", "--mass", "900 kg", "--out", "-"],
    ["new", "coating", "--bakes", "35 min at 60 C", "--out", "made.toml"],
    ["new", "booth", "--size", "11 x 5 x 4.5 m", "--from-log", "empty_booth.csv", "--set", "60 C", "--out", "-"],
    ["use", "--shell", "library_van"],
    ["use", "--nothing"],
    ["plan", *CLEAR, "--set-point", "60 to 66 degC", "--confidence", "none", "--out", "planned.toml", *OUT],
    ["plan", *CLEAR, "--set-point", "60 to 66 degC"],
    ["plan", *VAN, "--coating", "clear_two_component", "--set-point", "62 degC", "--longest-hold", "45 min"],
    ["plan", *CLEAR, "--set-point", "58 to 62 degC", "--map", "--confidence", "none"],
    ["predict", *CLEAR, "--cycle", "planned.toml"],
    ["import", "clear_group_1.csv", *CLEAR, "--of", "1"],
    ["judge", "1", "--members", "40"],
    ["judge", "2"],
    ["record", "--status", "2", "--at", "75 min"],
    ["compare", "1", "2", "--members", "40"],
    ["coat", "add", "--shell", "library_van", "--coating", "clear_low_bake", "--name", "clear", "--at", "2027-03-04T08:00"],
    ["coat", "list", "--shell", "library_van"],
    ["history", "add", "2", "--shell", "library_van", "--at", "2027-03-04T08:30"],
    ["history", "list", "--shell", "library_van"],
    ["history", "vehicle", "--shell", "library_van", "--job", "27-031", "--maker-number", "LC-0007"],
    ["history", "vehicles"],
    ["book", "site", "--name", "north yard"],
    ["judge", "--shell", "library_van"],
    ["judge", "--shell", "library_van", "--before", "1", "--at", "2027-06-10T09:00"],
    ["note", "temperature", "2", "--zone", "roof_skin", "--at", "42 min", "--read", "61 degC"],
    ["note", "test", "2", "--zone", "roof_skin", "--after", "18 h", "--found", "soft"],
    ["note", "film", "2", "--zone", "roof_skin", "--read", "55 um", "--how", "ultrasonic"],
    ["note", "list", "2"],
    ["note", "soft"],
    ["judge", "--shell", "library_van"],
    ["report", "2", "--out", "report.html", "--members", "40"],
    ["report", "--shell", "library_van", "--out", "shell.html"],
    ["plan", "--test-panel", "worst", "--bake", "1", "--shell", "test_panel"],
    ["plan", *VAN, "--coats", "primer_epoxy,base_colour", "--confidence", "none"],
    ["predict", *CLEAR, "--cycle", "clear_60", "--no-store"],
    ["predict", *CLEAR, "--cycle", "clear_60"],
    ["report", "3", "--card", "door.html"],
    ["predict", *VAN, "--coating", "clear_low_bake", "--air-from", "2"],
    ["import", "cut_short.csv", *CLEAR],
    ["plan", "--finish", "5", "--waited", "25 min", "--confidence", "none"],
    ["plan", "--finish", "2", "--waited", "25 min", "--confidence", "none"],
    ["tune", "2", "--what", "film"],
    ["probe-advice", *VAN, "--cycle", "clear_60", "--probes", "2"],
    *(["import", f"day_{day}.csv", *CLEAR] for day in (1, 2, 3)),
    ["compare", "6", "7", "8"],
    ["study", "case.jsonl"],
    ["trust"],
    ["trust", "--booth", "stirred_insulated", "--members", "40"],
    ["units"],
    ["book", "list"],
    ["book", "show", "2"],
    ["book", "verify"],
    ["book", "verify", "--digest", "0000000000000000"],
    ["calibrate", "baths.csv", "--ice", "--warm", "60.2 degC", "--date", "2027-03-01"],
    ["record", "--replay", "2", "--speed", "3000"],  # last: later bakes keep their numbers
]


def on_day(lines, day):
    """The log with times of day in place of minutes."""
    rows = [lines[0], lines[1].replace("min", "")]
    for line in lines[2:]:
        minutes, rest = line.split(",", 1)
        seconds = round(60 * float(minutes))
        rows.append(f"2027-03-{3 + day:02d} {8 + seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d},{rest}")
    return "".join(rows)


def baths():
    """Two probes five minutes in ice and five in water of 60.2 °C."""
    rows = ["time [s],one [°C],two [°C]"]
    for i in range(120):
        level = 0.0 if i < 60 else 60.2
        rows.append(f"{5 * i},{level + 1.2 + 0.02 * (i % 3):.2f},{level - 0.4 + 0.02 * (i % 2):.2f}")
    return "\n".join(rows) + "\n"


def logs(folder):
    """The demo's log; one that was cut; two of other days."""
    lines = open(os.path.join(PROJECT, "tests", "data", "demo", "clear_group_1.csv"), encoding="utf-8").read().splitlines(keepends=True)
    whole = "".join(lines)
    for name, text in (
        ("empty_booth.csv", open(os.path.join(PROJECT, "tests", "data", "demo", "empty_booth.csv"), encoding="utf-8").read()),
        ("clear_group_1.csv", whole),
        ("case.jsonl", json.dumps({"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake", "cycle": "clear_60"})),
        ("cut_short.csv", "".join(lines[: len(lines) // 3])),
        ("baths.csv", baths()),
        *((f"day_{day}.csv", on_day(lines, day)) for day in (1, 2, 3)),
    ):
        with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
            file.write(text)


def of_commands(folder):
    environment = {
        **os.environ,
        "BAKEWRIGHT_BOOK": os.path.join(folder, "shop.book"),
        "BAKEWRIGHT_PROFILES": os.path.join(PROJECT, "profiles"),
        "HOME": folder,
        "LC_ALL": "C.UTF-8",
    }
    for words in COMMANDS:
        done = subprocess.run([PROGRAM, *words, "--json"], env=environment, cwd=folder, capture_output=True, text=True)
        if done.returncode > 1:
            raise SystemExit(f"bakewright {' '.join(words)}: {done.stderr}")
        yield "bakewright " + " ".join(words), json.loads(done.stdout)


class Page:
    """Requests to a page, with its token."""

    def __init__(self, served):
        self.port, self.token = served.port, served.token

    def ask(self, method, path, body=None):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=300)
        fields = {"Authorization": f"Bearer {self.token}"}
        text = None
        if body is not None:
            fields["Content-Type"] = "application/json"
            text = json.dumps(body)
        connection.request(method, path, text, fields)
        answer = connection.getresponse()
        return json.loads(answer.read())

    def work(self, path, body):
        """What a piece of work answers in the end."""
        begun = self.ask("POST", path, body)
        assert "job" in begun, f"{path} begins no work: {begun}"
        job = begun["job"]
        while True:
            state = self.ask("GET", f"/api/jobs/{job}")
            if state["state"] != "running":
                return state
            time.sleep(0.1)


    def events(self, wanted):
        """What is told while a bake is recorded, until each kind was told once."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=300)
        connection.request("GET", "/api/live", headers={"Authorization": f"Bearer {self.token}"})
        answer = connection.getresponse()
        assert answer.getheader("Content-Type") == "text/event-stream", answer.headers
        kind, left = "", set(wanted)
        while left:
            line = answer.fp.readline().decode().rstrip()
            assert line or not answer.fp.closed, f"the answer ended before {left}"
            if line.startswith("event: "):
                kind = line[7:]
            elif line.startswith("data: "):
                left.discard(kind)
                yield f"event {kind}", json.loads(line[6:])
        connection.close()


def while_recorded(served, page):
    words = [PROGRAM, "record", "--replay", "2", "--speed", "60", "--shell", "library_van", "--booth", "stirred_insulated", "--coating", "clear_low_bake", "--cycle", "clear_60"]
    recorder = subprocess.Popen(words, env=served.environment, cwd=served.folder, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        yield from page.events({"recordings", "reading", "view"})
        yield "GET /api/recordings", page.ask("GET", "/api/recordings")
    finally:
        recorder.terminate()
        assert recorder.wait(120) in (0, 1), recorder.returncode


def of_profiles(page):
    """A copy of a shell is changed on its drawing, saved, renamed and deleted."""
    made = page.ask("POST", "/api/profiles/shell/library_van/copy", {"title": "Branch van"})
    yield "copy", made
    text = made["text"]
    for deed in (
        {},
        {"deed": "change", "part": "side_upper", "said": {"thickness[0]": "16g"}},
        {"deed": "change", "part": "side_upper", "said": {"thickness[0]": "16 ga"}},
        {"deed": "add", "said": {"title": "locker", "side": "right_side", "to": "2 m", "made_of": "18 ga steel"}},
        {"deed": "remove", "part": "door"},
    ):
        answer = page.ask("POST", "/api/profiles/shell/parts", {"text": text, **deed})
        text = answer["text"]
        yield f"parts {deed}", answer
    saved = page.ask("POST", "/api/profiles/shell/branch_van/save", {"text": text, "sha256_before": made["sha256"]})
    yield "save", saved
    named = page.ask("POST", "/api/profiles/shell/branch_van/rename", {"title": "North van", "sha256_before": saved["sha256"]})
    yield "rename", named
    yield "delete", page.ask("POST", "/api/profiles/shell/north_van/delete", {"sha256_before": named["sha256"]})


def of_page(folder):
    task = {"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake", "setpoint_k": 335.0, "hold_s": 3600}
    with Served(PROGRAM, PROJECT, folder) as served:
        page = Page(served)
        for method, path, body in (
            ("GET", "/api/shop", None),
            ("GET", "/api/bakes", None),
            ("GET", "/api/bakes/2", None),
            ("GET", "/api/hand/soft", None),
            ("GET", "/api/history", None),
            ("GET", "/api/history/library_van", None),
            ("GET", "/api/readings", None),
            ("GET", "/api/profiles/coating", None),
            ("GET", "/api/profiles/coating/clear_low_bake", None),
            ("POST", "/api/profiles/shell/questions", {"answers": {"shape": "box van", "size": "7 x 2.3 x 2.9 m"}}),
            ("POST", "/api/profiles/booth/questions", {"answers": {"heat": "150"}}),
            ("GET", "/api/tune", None),
            ("GET", "/api/prepare?shell=library_van&booth=stirred_insulated&coating=clear_low_bake", None),
            ("POST", "/api/prepare", task),
            ("POST", "/api/prepare", {**task, "hold_s": "long"}),
        ):
            yield f"{method} {path}", page.ask(method, path, body)
        for path, body in (
            ("/api/prepare/certainty", task),
            ("/api/prepare/map", task),
            ("/api/bakes/2/certainty", {}),
            ("/api/history/library_van/certainty", {}),
        ):
            yield f"work {path}", page.work(path, body)
        yield from of_profiles(page)
        yield from while_recorded(served, page)


def documents_in(value):
    """The document and those inside it."""
    if isinstance(value, dict):
        if str(value.get("format", "")).startswith("bakewright."):
            yield value
        for inner in value.values():
            yield from documents_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from documents_in(inner)


def all_documents():
    with tempfile.TemporaryDirectory() as folder:
        logs(folder)
        yield from of_commands(folder)
        yield from of_page(folder)


def main():
    if PRINT:
        for said, document in all_documents():
            print(json.dumps(document))
        return 0
    try:
        import jsonschema
    except ImportError:
        system = "/usr/bin/python3"  # where Debian's python3-jsonschema is, whichever Python was found first
        if os.path.realpath(sys.executable) != os.path.realpath(system) and os.path.exists(system):
            os.execv(system, [system, *sys.argv])
        print("python3-jsonschema is not installed")
        return 1 if os.environ.get("CI") else 77
    schema = json.load(open(os.path.join(PROJECT, "docs", "json.schema.json"), encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    formats = schema["$defs"]
    validators = {
        name: jsonschema.Draft202012Validator({**schema, "oneOf": [{"$ref": f"#/$defs/{name}"}]})
        for name in formats
        if name.startswith("bakewright.")
    }
    met, faults = set(), []
    for said, whole in all_documents():
        for document in documents_in(whole):
            name = document["format"]
            met.add(name)
            if name not in validators:
                faults.append(f"{said}: {name} is not in docs/json.schema.json")
                continue
            for error in validators[name].iter_errors(document):
                inner = min(error.context, key=lambda one: -len(one.path), default=error)
                place = "/".join(str(part) for part in [*error.path, *inner.path])
                faults.append(f"{said}: {name}: {place}: {inner.message[:200]}")
    for name in sorted(set(validators) - met):
        faults.append(f"{name} of docs/json.schema.json was met nowhere")
    for fault in faults[:40]:
        print(fault)
    print(f"{len(met)} formats, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
