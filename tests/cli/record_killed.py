#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A recorder killed at random moments loses at most the stated five seconds, leaves a sound book, and goes on in the same log.

usage: record_killed.py PROGRAM PROJECT

BAKEWRIGHT_RECORD_KILLS says how often (20); BAKEWRIGHT_SEED seeds the moments. Four booths are recorded into one book at once.
"""

import json
import os
import random
import subprocess
import sys
import tempfile
import threading
import time

PROGRAM, PROJECT = (os.path.abspath(path) for path in sys.argv[1:3])
KILLS = int(os.environ.get("BAKEWRIGHT_RECORD_KILLS", "20"))
SEED = int(os.environ.get("BAKEWRIGHT_SEED", "25"))
BOOTHS = 4
STATED_S = 5.0
EVERY_S = 0.1


class Logger(threading.Thread):
    """Appends a row each tenth of a second; its temperature is its number, in thousandths of a degree above 20."""

    def __init__(self, path):
        super().__init__(daemon=True)
        self.path, self.sent, self.over = path, [], False
        with open(path, "w", encoding="utf-8") as file:
            file.write("Unix time;roof [°C]\n")
        self.row(), self.row()

    def row(self):
        with open(self.path, "a", encoding="utf-8") as file:
            file.write(f"{time.time():.3f};{20 + 0.001 * len(self.sent):.3f}\n")
        self.sent.append(time.monotonic())

    def run(self):
        while not self.over:
            self.row()
            time.sleep(EVERY_S)


def run(*words):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, f"bakewright {' '.join(words)}: {done.returncode}: {done.stderr}{done.stdout}"
    return done.stdout


def record_and_kill(booth, moments, runs, problems):
    logger = Logger(f"{booth}.csv")
    logger.start()
    try:
        for lasts_s in moments:
            recorder = subprocess.Popen([PROGRAM, "record", "--lines", logger.path, "--booth", f"{booth}.toml"],
                                        stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
            began = time.monotonic()
            time.sleep(lasts_s)
            if recorder.poll() is not None:
                problems.append(f"{booth} ended by itself: {recorder.stderr.read()}")
                return
            killed = time.monotonic()
            recorder.kill()
            recorder.communicate()
            runs.append((began, killed))
            if os.path.exists(os.environ["BAKEWRIGHT_BOOK"]):  # not yet, where the first one was killed while it started
                run("book", "verify")
        last = subprocess.Popen([PROGRAM, "record", "--lines", logger.path, "--booth", f"{booth}.toml", "--stop-after", "1000 d"],
                                stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        time.sleep(3.0)
        last.terminate()
        _, told = last.communicate(timeout=30)
        if last.returncode != 0:
            problems.append(f"{booth} at its end: {told}")
    except (AssertionError, subprocess.TimeoutExpired) as error:
        problems.append(str(error))
    finally:
        logger.over = True
        logger.join()
        sent[booth] = logger.sent


def numbers_of(bake):
    """The numbers of the rows that are in the log; a reading that is missing, where a gap begins, has none."""
    cells = [line.split(",")[1] for line in run("book", "export", str(bake), "--exact").splitlines()[1:]]
    return {round((float(cell) - 293.15) * 1000) for cell in cells if cell}


def check(booth, bake, runs):
    """How much of each run was lost at its end [s]; complains of holes in what was kept."""
    kept, times, worst = numbers_of(bake), sent[booth], 0.0
    for began, killed in runs:
        during = [number for number, moment in enumerate(times) if began <= moment <= killed]
        known = [number for number in during if number in kept]
        if not known:
            worst = max(worst, killed - began)
            continue
        holes = set(range(known[0], known[-1] + 1)) - kept
        assert not holes, f"{booth}: {len(holes)} rows are missing between rows that were kept"
        worst = max(worst, killed - times[known[-1]])
    return worst


sent = {}
# In memory: a kill leaves what was written to the system, and the disk of a busy machine may take seconds for each fsync.
with tempfile.TemporaryDirectory(dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None) as folder:
    os.chdir(folder)
    os.environ.update(BAKEWRIGHT_PROFILES=os.path.join(PROJECT, "profiles"), BAKEWRIGHT_BOOK=os.path.join(folder, "test.book"), HOME=folder,
                      NO_COLOR="1", LC_ALL="C.UTF-8")
    with open(os.path.join(PROJECT, "profiles/booths/stirred_insulated.toml"), encoding="utf-8") as file:
        profile = file.read()
    moments = random.Random(SEED)
    booths = {f"booth_{i}": [moments.uniform(0.2, 7.5) for _ in range((KILLS + BOOTHS - 1) // BOOTHS)] for i in range(BOOTHS)}
    for booth in booths:
        with open(f"{booth}.toml", "w", encoding="utf-8") as file:
            file.write(profile)
    problems, runs = [], {booth: [] for booth in booths}
    threads = [threading.Thread(target=record_and_kill, args=(booth, booths[booth], runs[booth], problems)) for booth in booths]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not problems, "\n".join(problems)
    assert "sound" in run("book", "verify")
    bakes = json.loads(run("book", "list", "--json", "--limit", "100"))["bakes"]
    assert len(bakes) == BOOTHS, f"{len(bakes)} logs of {BOOTHS} booths: a restart began another"
    worst = {}
    for bake in bakes:
        number = bake.get("bake", bake.get("id"))
        shown = run("book", "show", str(number))
        booth = next(name for name in booths if name in shown)
        worst[booth] = check(booth, number, runs[booth])
    assert set(worst) == set(booths)
    print(f"{sum(map(len, runs.values()))} kills of {BOOTHS} recorders of one book (seed {SEED}): at most {max(worst.values()):.1f} s lost, stated {STATED_S:.0f} s")
    assert max(worst.values()) <= STATED_S, worst
