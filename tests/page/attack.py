#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The page under attack, on the loopback address and bounded in count and time.

usage: attack.py PROGRAM PROJECT [--json]

Each attack meets a server of its own. While it lasts a good client asks for what the page asks for and must be answered each time; the
server's memory must stay under 300 MB, and the stop must come while the attackers are connected. Prints a table, or with --json
{"slowest_answer": ms, "slowest_stop": ms, "largest_memory": MB}. Exit status 0 where all of it held.
"""

import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time

from served import Served

MOST_MEMORY_MB = 300
HANG_S = 120  # no time that is judged: a client or a stop that takes so long never ends
STOPS = [[signal.SIGINT], [signal.SIGTERM], [signal.SIGINT, signal.SIGINT]]


class Failed(Exception):
    pass


def check(holds, what):
    if not holds:
        raise Failed(what)


def connect(served):
    wire = socket.create_connection(("127.0.0.1", served.port), HANG_S)
    wire.settimeout(HANG_S)
    return wire


def head(served, method, path, *fields, token=True):
    lines = [f"{method} {path} HTTP/1.1", f"Host: 127.0.0.1:{served.port}", *([f"Authorization: Bearer {served.token}"] if token else []), *fields]
    return ("\r\n".join(lines) + "\r\n\r\n").encode()


def hear(wire, before=b""):
    """Status and body of the next answer, and what was read beyond it; interim answers are passed over. None where there is none."""
    read = before
    while True:
        while b"\r\n\r\n" not in read:
            block = wire.recv(65536)
            if not block:
                return None, b"", read
            read += block
        top, read = read.split(b"\r\n\r\n", 1)
        status = int(top.split(b" ", 2)[1])
        if status >= 200:
            break
    length = int(next(line.split(b":")[1] for line in top.split(b"\r\n") if line.lower().startswith(b"content-length:")))
    while len(read) < length:
        block = wire.recv(65536)
        if not block:
            return None, b"", read
        read += block
    check(b"\r\nContent-Security-Policy: default-src 'none'" in top, f"an answer {status} without its headers")
    return status, read[:length], read[length:]


def ask(served, method, path, body=None):
    fields = [] if body is None else ["Content-Type: application/json", f"Content-Length: {len(body)}"]
    with connect(served) as wire:
        wire.sendall(head(served, method, path, *fields) + (body or b""))
        status, text, _ = hear(wire)
        return status, text


def send_on(wire, block, most):
    """Sends until the other side has had enough; how much that was."""
    sent = 0
    try:
        while sent < most:
            sent += wire.send(block)
    except OSError:
        pass
    return sent


def ends(wire):
    """Whether the server closes, whatever it says before."""
    try:
        while wire.recv(65536):
            pass
    except socket.timeout:
        return False
    except OSError:
        pass
    return True


def each(count, work):
    """Runs work(number) in a thread each; what they return."""
    found = [None] * count

    def one(number):
        try:
            found[number] = work(number)
        except (OSError, Failed) as problem:
            found[number] = problem

    threads = [threading.Thread(target=one, args=(number,)) for number in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


def endless_headers(served, _):
    """headers without end, of 16 MB each"""

    def one(number):
        with connect(served) as wire:
            wire.sendall(b"GET / HTTP/1.1\r\n")
            sent = send_on(wire, b"A" * 65536 if number % 2 else b"A: b\r\n" * 10000, 16 << 20)
            return sent if ends(wire) else 16 << 20

    sent = each(20, one)
    check(all(isinstance(one, int) and one < 16 << 20 for one in sent), f"headers without end were read: {sent}")
    return f"20 closed, {max(sent) >> 10} kB sent at most"


def drip(served, over, count, first, letter):
    """Clients that send a byte now and then, until they are let go."""
    wires = [connect(served) for _ in range(count)]
    for wire in wires:
        wire.sendall(first)
    let_go = set()
    while not over.wait(0.2) and len(let_go) < count:
        for number, wire in enumerate(wires):
            if number in let_go:
                continue
            try:
                wire.sendall(letter)
            except OSError:
                let_go.add(number)
    over.wait()
    for wire in wires:
        wire.close()
    return f"{count} dripping, {len(let_go)} of them let go by then"


def slow_header(served, over):
    """headers a byte at a time"""
    return drip(served, over, 64, b"GET / HTTP/1.1\r\n", b"A")


def slow_body(served, over):
    """bodies a byte at a time, with the token"""
    return drip(served, over, 12, head(served, "POST", "/api/prepare", "Content-Type: application/json", "Content-Length: 1000000"), b" ")


def held_uploads(served, over):
    """uploads of 64 MiB announced and not sent, with the token"""
    fields = ["Content-Type: application/octet-stream", f"Content-Length: {64 << 20}"]
    wires = [connect(served) for _ in range(100)]
    for wire in wires:
        wire.sendall(head(served, "POST", "/api/logs", *fields))
        try:
            wire.sendall(b"x" * (1 << 20))
        except OSError:
            pass
    over.wait()
    for wire in wires:
        wire.close()
    return "100 announced"


def body_without_length(served, _):
    """bodies of 64 MB without a length, with the token"""

    def one(number):
        fields = ["Content-Type: application/json", *(["Transfer-Encoding: chunked"] if number % 2 else [])]
        with connect(served) as wire:
            wire.sendall(head(served, "POST", "/api/prepare", *fields))
            status, _, _ = hear(wire)
            check(status == 411, f"a body without a length is answered with {status}")
            return ends(wire)

    check(all(one is True for one in each(10, one)), "a connection stays open after 411")
    return "10 answered with 411 and closed"


def half_closed(served, _):
    """clients that say their last and listen"""

    def one(_):
        with connect(served) as wire:
            wire.sendall(head(served, "GET", "/api/history"))
            wire.shutdown(socket.SHUT_WR)
            return hear(wire)[0]

    statuses = each(50, one)
    check(all(one in (200, 503) for one in statuses), f"half-closed clients got {statuses}")
    return f"50 answered: {statuses.count(200)} with 200, {statuses.count(503)} with 503"


def pipelined(served, _):
    """fifty requests in one breath"""

    def one(_):
        with connect(served) as wire:
            wire.sendall(head(served, "GET", "/page.css") * 50)
            answered, read = 0, b""
            while answered < 50:
                status, _, read = hear(wire, read)
                check(status == 200, f"pipelined request {answered + 1} got {status}")
                answered += 1
            return answered

    answers = each(20, one)
    check(answers == [50] * 20, f"pipelined clients got {answers}")
    return "20 x 50 requests, 1000 answers"


def silent(served, over):
    """clients that say nothing"""
    wires = []
    for _ in range(500):
        try:
            wires.append(connect(served))
        except OSError:
            break
    over.wait()
    for wire in wires:
        wire.close()
    return f"{len(wires)} connected"


def garbage(served, _):
    """bytes that are no request"""

    def one(number):
        with connect(served) as wire:
            try:
                wire.sendall(bytes((number * 31 + at * 17) % 256 for at in range(2000)) + b"\r\n\r\n")
            except OSError:
                pass
            return ends(wire)

    check(all(one is True for one in each(100, one)), "what is no request keeps its connection")
    return "100 refused and closed"


def guessed_codes(served, _):
    """codes that are guessed"""

    def one(number):
        body = json.dumps({"code": f"{number:032x}"}).encode()
        with connect(served) as wire:
            wire.sendall(head(served, "POST", "/open", "Content-Type: application/json", f"Content-Length: {len(body)}", token=False) + body)
            return hear(wire)[0]

    statuses = each(200, one)
    check(statuses == [403] * 200, f"guessed codes got {set(statuses)}")
    return "200 refused"


def processor_s(served):
    """Processor time that the server has taken."""
    with open(f"/proc/{served.process.pid}/stat", encoding="ascii") as file:
        fields = file.read().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def keep_bake(served):
    bake = {"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake", "setpoint_k": 333.15, "hold_s": 3600}
    status, text = ask(served, "POST", "/api/prepare/keep", json.dumps(bake).encode())
    check(status == 200, f"the bake was not kept: {text}")


def dropped_work(served, _):
    """reports asked for by clients that are gone, with the token"""
    keep_bake(served)
    began = processor_s(served)
    check(ask(served, "GET", "/report/1")[0] == 200, "there is no report")
    one = max(processor_s(served) - began, 0.01)
    began = processor_s(served)
    for _ in range(300):
        with connect(served) as wire:
            wire.sendall(head(served, "GET", "/report/1"))
    check(ask(served, "GET", "/report/1")[0] in (200, 503), "no report after those that were dropped")
    last = -1.0
    while processor_s(served) > last + 0.1:
        last = processor_s(served)
        time.sleep(1)
    worked = (processor_s(served) - began) / one
    check(worked < 30, f"{worked:.0f} of 300 dropped reports were worked for")
    return f"300 dropped, work of about {worked:.0f} done"


ATTACKS = [endless_headers, slow_header, slow_body, held_uploads, body_without_length, half_closed, pipelined, silent, garbage, guessed_codes, dropped_work]


def peak_memory_mb(served):
    with open(f"/proc/{served.process.pid}/status", encoding="ascii") as file:
        return next(int(line.split()[1]) / 1024 for line in file if line.startswith("VmHWM"))


def ask_well(served, attacking, times):
    """Asks as the page does, at least ten times and for as long as the attack is under way."""
    asked = 0
    while asked < 10 or (attacking.is_alive() and asked < 40):
        began = time.monotonic()
        status, text = ask(served, "GET", "/api/history")
        times.append((time.monotonic() - began) * 1000)
        check(status == 200, f"a good client got {status}: {text[:200]}")
        asked += 1
        time.sleep(0.05)


def stop(served, signals):
    """How long the end takes, in milliseconds, from the first signal on."""
    began = time.monotonic()
    for number in signals:
        served.process.send_signal(number)
        time.sleep(0.02)
    try:
        status = served.process.wait(HANG_S)
    except subprocess.TimeoutExpired:
        raise Failed("the stop does not come") from None
    check(status == 0, f"the end has status {status}")
    return (time.monotonic() - began) * 1000


def meet(attack, program, project, signals):
    """What came of an attack: a row of the table."""
    with tempfile.TemporaryDirectory() as folder, Served(program, project, folder) as served:
        over, came, times = threading.Event(), [], []

        def run():
            try:
                came.append(attack(served, over))
            except Exception as problem:  # told by the main thread
                came.append(problem)

        attacking = threading.Thread(target=run)
        attacking.start()
        try:
            ask_well(served, attacking, times)
            if attack.__code__.co_varnames[1] == "_":  # it ends by itself
                attacking.join(HANG_S)
            memory_mb = peak_memory_mb(served)
            stopped = stop(served, signals)
        finally:
            over.set()
            attacking.join(HANG_S)
        check(not attacking.is_alive(), "the attack does not end")
        if isinstance(came[0], Exception):
            raise Failed(str(came[0]))
        check(memory_mb < MOST_MEMORY_MB, f"{memory_mb:.0f} MB of memory")
        return came[0], len(times), max(times), memory_mb, stopped


def main(program, project, *more):
    as_json = "--json" in more
    good, rows = True, []
    if not as_json:
        print(f"{'attack':60} {'what came of it':40} {'good client':>20} {'memory':>8} {'stop':>9}")
    for number, attack in enumerate(ATTACKS):
        try:
            rows.append(meet(attack, program, project, STOPS[number % len(STOPS)]))
            came, answers, slowest, memory_mb, stopped = rows[-1]
            line = f"{came:40} {answers:3} of {answers}, {slowest:6.0f} ms {memory_mb:5.0f} MB {stopped:6.0f} ms"
        except Failed as problem:
            good, line = False, f"FAILED: {problem}"
        if not as_json:
            print(f"{attack.__doc__:60} {line}", flush=True)
        elif line.startswith("FAILED"):
            print(f"{attack.__doc__}: {line}", file=sys.stderr)
    if as_json and rows:
        print(json.dumps({"slowest_answer": max(row[2] for row in rows), "slowest_stop": max(row[4] for row in rows), "largest_memory": max(row[3] for row in rows)}))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
