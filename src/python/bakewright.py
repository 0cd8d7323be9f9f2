# SPDX-License-Identifier: Apache-2.0
"""bakewright from Python: its commands with their answers as dictionaries, and studies of many bakes.

    import bakewright
    plan = bakewright.ask("plan", shell="library_van", booth="stirred_insulated", coating="clear_low_bake")
    for answer in bakewright.study({"id": i, "shell": ..., "set-point": "60 degC", "hold": f"{i} min"} for i in range(30, 90)):
        print(answer["id"], answer["word"], answer["chance"])

It runs the program `bakewright` of the PATH, or $BAKEWRIGHT_PROGRAM, and needs nothing but Python 3.11. Shapes of the answers:
docs/json.md, and as types `bakewright_types.py`, which is installed beside this file.
"""
import json
import os
import subprocess
import threading
from collections.abc import Iterable, Iterator
from typing import Any

__all__ = ["BakewrightError", "ask", "program", "study"]


class BakewrightError(Exception):
    """The program refused, or could not do its work. `status` is its exit status: 2 input, 3 work, 4 a fault of its own."""

    def __init__(self, status: int, message: str):
        super().__init__(message)
        self.status = status


def program() -> str:
    """The program that is run."""
    return os.environ.get("BAKEWRIGHT_PROGRAM", "bakewright")


def _words(positional: tuple, options: dict[str, Any]) -> list[str]:
    words = [str(one) for one in positional]
    for key, value in options.items():
        name = "--" + key.replace("_", "-")
        for one in value if isinstance(value, (list, tuple)) else [value]:
            if one is True:
                words.append(name)
            elif one is not False and one is not None:
                words.append(f"{name}={one}")
    return words


def ask(verb: str, *positional: Any, **options: Any) -> dict[str, Any]:
    """The answer of one command, such as ask("judge", 2) or ask("plan", shell="library_van", set_point="60 degC", ...).

    An option's dashes are underscores; True stands for an option without a value, a list for one that is repeated. An answer that is
    no (exit status 1) is an answer. Raises BakewrightError where the program refuses.
    """
    done = subprocess.run([program(), verb, *_words(positional, options), "--json"], capture_output=True, text=True, encoding="utf-8")
    if done.returncode > 1:
        raise BakewrightError(done.returncode, done.stderr.strip())
    return json.loads(done.stdout)


def study(cases: Iterable[dict[str, Any]], *, threads: int | None = None, whole: bool = False, profiles: str | None = None) -> Iterator[dict[str, Any]]:
    """The answers of `bakewright study` to the cases, in their order, as they come; cases are taken as the program reads them.

    A case that is wrong is answered with its key "error". Raises BakewrightError where the program itself ends early.
    """
    words = [program(), "study"]
    words += ["--whole"] if whole else []
    words += [f"--threads={threads}"] if threads else []
    words += [f"--profiles={profiles}"] if profiles else []
    running = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8")
    assert running.stdin and running.stdout and running.stderr
    said: list[str] = []
    faults: list[BaseException] = []

    def feed() -> None:
        try:
            with running.stdin:
                for case in cases:
                    running.stdin.write(json.dumps(case) + "\n")
        except BrokenPipeError:
            pass  # the program has ended; its status says why
        except BaseException as fault:  # of the caller's own cases
            faults.append(fault)

    feeding = threading.Thread(target=feed, daemon=True)
    listening = threading.Thread(target=lambda: said.append(running.stderr.read()), daemon=True)
    feeding.start()
    listening.start()
    wrong = False
    try:
        for line in running.stdout:
            answer = json.loads(line)
            wrong = wrong or "error" in answer
            yield answer
        status = running.wait()
        feeding.join()
        listening.join()
    finally:
        running.kill()
        running.wait()
    if faults:
        raise faults[0]
    if status != (2 if wrong else 0):
        raise BakewrightError(status, "".join(said).strip())
