#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A study handed out by Dask distributed: a scheduler and two workers on this machine, one worker killed in the middle; every case is
answered once, as one process alone answers it. Exit status 77 where Dask is not installed.

usage: dask_study.py PROGRAM PROJECT
"""
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time

if not os.environ.get("BAKEWRIGHT_LONG"):
    print("skipped: one of the long tests; BAKEWRIGHT_LONG=1 asks for it")
    sys.exit(77)
PROGRAM, PROJECT = (os.path.abspath(path) for path in sys.argv[1:3])
try:
    import distributed
except ImportError:
    if os.path.realpath(sys.executable) != os.path.realpath("/usr/bin/python3") and os.path.exists("/usr/bin/python3"):
        os.execv("/usr/bin/python3", ["/usr/bin/python3", *sys.argv])  # the system's own has what Debian's packages bring
    print("skipped: Dask distributed is not installed (Debian: python3-distributed)")
    sys.exit(77)
sys.path.insert(0, os.path.join(PROJECT, "src", "python"))
import bakewright  # noqa: E402

VAN = {"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake", "confidence": "none"}
CASES = [{"id": f"{t}/{m}", **VAN, "set-point": f"{t} degC", "hold": f"{m} min"} for t in range(56, 68) for m in range(10, 100, 3)]
PART = 20


def answered(part):
    """Work of a worker: a part of the cases, by the program on its machine."""
    import bakewright as client  # the worker's own
    return list(client.study(part, threads=1))


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


folder = tempfile.TemporaryDirectory()
environment = {**os.environ, "BAKEWRIGHT_PROGRAM": PROGRAM, "BAKEWRIGHT_PROFILES": os.path.join(PROJECT, "profiles"), "HOME": folder.name,
               "PYTHONPATH": os.path.join(PROJECT, "src", "python")}
os.environ.update(environment)
alone = list(bakewright.study(CASES))
port = free_port()
run = dict(env=environment, cwd=folder.name, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
python = [sys.executable, "-m"]
scheduler = subprocess.Popen([*python, "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", str(port), "--no-dashboard"], **run)
workers = []
try:
    for number in range(2):
        workers.append(subprocess.Popen([*python, "distributed.cli.dask_worker", f"tcp://127.0.0.1:{port}", "--nthreads", "1", "--no-nanny", "--no-dashboard",
                                         "--host", "127.0.0.1", "--local-directory", os.path.join(folder.name, f"worker{number}")], **run))
    client = distributed.Client(f"tcp://127.0.0.1:{port}", timeout="60s")
    client.wait_for_workers(2, timeout=60)
    parts = [CASES[begin:begin + PART] for begin in range(0, len(CASES), PART)]
    work = client.map(answered, parts, pure=False, retries=3)
    while sum(part.status == "finished" for part in work) < 2:
        time.sleep(0.05)
    os.kill(workers[0].pid, signal.SIGKILL)
    came = [answer for part in client.gather(work) for answer in part]
    lost = sum(part.status != "finished" for part in work)
    client.close()
finally:
    for one in [*workers, scheduler]:
        one.kill()
        one.wait()
assert lost == 0 and [answer["id"] for answer in came] == [case["id"] for case in CASES], "a case was lost, doubled or moved"
strip = [{key: value for key, value in answer.items() if key != "line"} for answer in came]
assert strip == [{key: value for key, value in answer.items() if key != "line"} for answer in alone], "a case was answered otherwise"
print(f"{len(CASES)} cases in {len(parts)} parts on two workers, one killed: none lost, none doubled, each answered as by one process")
