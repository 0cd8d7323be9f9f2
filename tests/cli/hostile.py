#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Hostile inputs to the program as its user runs it: damaged profiles, logs and books, options without sense, outputs that cannot be.

  hostile.py PROGRAM PROJECT [COUNT]

Each ends in an answer (exit status 0 or 1), a refusal (2) or work that could not be done (3): never in a fault of the program (4), a
signal, a sanitizer's report, a hang or a file left unfinished. The same inputs each time. COUNT: 60, or $BAKEWRIGHT_HOSTILE.
"""

import collections
import os
import pathlib
import random
import subprocess
import sys
import tempfile

SECONDS = 120
NASTY = ["", " ", "-", "--", "-1", "0", "nan", "inf", "1e308 degC", "-1e308 K", "1e-320 min", "9" * 400, "x" * 70000, "../../etc/passwd", "%s%n%d",
         "\x1b[31m", "'; DROP TABLE bake; --", "\u202efeb", "\U0001f525", "60 degC", "60degC to", "to", ",", "a,b,,c", "1 h 99 min", "2027-02-30T25:61",
         "0000-00-00", "999999999999999999999", "1/0 in", "60 °C, 20 min", "$(reboot)", "\t\n", "=1+1"]
COMMANDS = {
    "check": [], "judge": ["--coating", "--units", "--probe", "--uncertainty", "--shell", "--before", "--at", "--members"],
    "plan": ["--shell", "--booth", "--coating", "--set-point", "--hold", "--ramp", "--step", "--for", "--keep", "--checked", "--flash-off"],
    "predict": ["--shell", "--booth", "--cycle", "--start-temperature", "--film-factor", "--every", "--title"],
    "import": ["--map", "--air", "--shell", "--of", "--shift", "--reading"], "record": ["--source", "--speed", "--shell", "--booth", "--stop-after", "--seal", "--go-on-within"],
    "coat": ["--shell", "--coating", "--at", "--zone", "--name"],
    "history": ["--shell", "--at", "--zone", "--out"], "compare": ["--booth", "--since", "--coating"],
    "tune": ["--shell", "--booth", "--what", "--held-out", "--name"], "probe-advice": ["--shell", "--booth", "--cycle"],
    "report": ["--out", "--csv", "--coating", "--shell"], "book": ["--out", "--from", "--what", "--limit"], "serve": ["--port", "--host"],
    "completion": [], "manual": [],
}


def damaged(data, rng):
    """A few bytes changed, cut out, doubled, or numbers in it made extreme."""
    data = bytearray(data)
    for _ in range(rng.randint(1, 6)):
        at, length = rng.randrange(len(data) + 1), rng.randint(1, 40)
        what = rng.randrange(6)
        if what == 0 and at < len(data):
            data[at] = rng.choice(b"\0\xff\x80\"'[]{}=#,;\n\t-+.eE9")
        elif what == 1:
            del data[at:at + length]
        elif what == 2:
            data[at:at] = data[at:at + length]
        elif what == 3:
            data[at:at] = rng.choice([b"1e308", b"-1", b"1e-9", b"nan", b"\xe2\x80\xae", b"9" * 50, b"\r", b"[[zone]]\n"])
        elif what == 4:
            del data[at:]
        else:
            digits = [i for i, byte in enumerate(data) if 48 <= byte <= 57]
            if digits:
                data[rng.choice(digits)] = rng.choice(b"0123456789-.")
    return bytes(data)


class Attack:
    def __init__(self, program, project, folder):
        self.program, self.project, self.folder = program, pathlib.Path(project), pathlib.Path(folder)
        self.profiles = sorted(self.project.glob("profiles/*/*.toml"))
        self.logs = sorted(log for log in self.project.glob("tests/data/*/*.csv") if log.stat().st_size < 1 << 20)
        self.book = self.folder / "good.book"
        self.run(["predict", "--shell", "test_panel", "--booth", "stirred_insulated", "--cycle", "clear_60", "--coating", "clear_low_bake"])
        self.good = self.book.read_bytes()

    def run(self, words, book=None):
        environment = {name: os.environ[name] for name in ("PATH", "ASAN_OPTIONS", "UBSAN_OPTIONS", "TSAN_OPTIONS") if name in os.environ}
        environment |= {"HOME": str(self.folder), "LC_ALL": "C.UTF-8", "BAKEWRIGHT_BOOK": str(book or self.book),
                        "BAKEWRIGHT_PROFILES": str(self.project / "profiles")}
        words = [word.replace("\0", "") for word in words]
        return subprocess.run([self.program] + words, cwd=self.folder, env=environment, stdin=subprocess.DEVNULL, capture_output=True,
                              timeout=SECONDS, check=False)

    def file(self, name, data):
        path = self.folder / name
        path.write_bytes(data)
        return str(path)

    def profile(self, rng):
        path = rng.choice(self.profiles)
        return ["check", self.file("hostile.toml", damaged(path.read_bytes(), rng))], None

    def cycle(self, rng):
        path = rng.choice([one for one in self.profiles if one.parent.name == "cycles"])
        return ["predict", "--shell", "test_panel", "--booth", "stirred_insulated", "--no-store", "--cycle",
                self.file("hostile.toml", damaged(path.read_bytes(), rng))], None

    def log(self, rng):
        name = self.file("hostile.csv", damaged(rng.choice(self.logs).read_bytes(), rng))
        return ["import", name, "--dry-run"] + (["--shell", "library_van"] if rng.random() < 0.5 else []), None

    def options(self, rng):
        verb = rng.choice(sorted(COMMANDS))
        words = [verb] + ([rng.choice(["1", "2", "list", "add", "remove", "verify", "export", rng.choice(NASTY)])] if rng.random() < 0.6 else [])
        sane = {"--shell": "test_panel", "--booth": "stirred_insulated", "--coating": "clear_low_bake", "--cycle": "clear_60"}
        for option in rng.sample(COMMANDS[verb], min(len(COMMANDS[verb]), rng.randint(0, 4))):
            words += [option, sane[option] if option in sane and rng.random() < 0.6 else rng.choice(NASTY)]
        if verb == "serve":
            words += ["--help"]  # it would serve
        if verb == "predict":
            words += ["--no-store"]
        return words, None

    def damaged_book(self, rng):
        book = self.file("hostile.book", damaged(self.good, rng))
        return rng.choice([["book", "verify"], ["book", "list"], ["judge", "1"], ["book", "show", "1", "--documents"],
                           ["book", "export", "1"], ["report", "1", "--out", "-"]]), book

    def output(self, rng):
        where = rng.choice(["", ".", "/", "none/x", "x" * 300, "good.book/x", "-", "/dev/null", "/dev/stdout", "out.html", "\u202e.html"])
        return rng.choice([["report", "1", "--out"], ["report", "1", "--csv"], ["book", "export", "1", "--out"]]) + [where], None


def main():
    program, project = os.path.abspath(sys.argv[1]), sys.argv[2]
    count = int(sys.argv[3] if len(sys.argv) > 3 else os.environ.get("BAKEWRIGHT_HOSTILE", "60"))
    faults, seen = [], collections.Counter()
    with tempfile.TemporaryDirectory() as folder:
        attack = Attack(program, project, folder)
        kinds = [attack.profile, attack.log, attack.options, attack.damaged_book, attack.output, attack.cycle]
        for number in range(count):
            rng = random.Random(number)
            kind = kinds[number % len(kinds)]
            words, book = kind(rng)
            try:
                done = attack.run(words, book)
                said = (done.stdout + done.stderr).decode("utf-8", "replace")
                status = done.returncode
            except subprocess.TimeoutExpired:
                said, status = "", f"no end within {SECONDS} s"
            seen[(kind.__name__, status)] += 1
            if status not in (0, 1, 2, 3) or "Sanitizer" in said or "runtime error" in said or "please report" in said:
                shown = [word if len(word) < 100 else word[:100] + "..." for word in words]
                faults.append(f"input {number}, {kind.__name__}: {shown}: {status}: {said[-3000:]}")
        left = [str(path) for path in pathlib.Path(folder).glob("*.new")]
        if left:
            faults.append(f"left unfinished: {left}")
    for (kind, status), times in sorted(seen.items(), key=str):
        print(f"{kind:14} exit status {status}: {times}")
    for fault in faults:
        print("FAILED:", fault)
    print(f"{count} hostile inputs, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
