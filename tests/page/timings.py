#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""How quickly the page is seen and follows a control, as the browser itself measures it; for tools/bench.

usage: timings.py PROGRAM PROJECT

Prints one JSON object in milliseconds, medians: first_paint (from asking for the page to its first content, the browser warm),
blank_paint (the same of a page with one sentence, served by the same server: the licence of the chart library), slider (from a moved
hold to the drawn answer: request, prediction, verdict, tables, curves, pictures), redraw (of that the curves alone).
"""

import json
import statistics
import sys
import tempfile

from browser import Browser
from page_steps import choose, enter, go, set_number
from served import Served

PAINT = """return performance.getEntriesByName('first-contentful-paint').map((entry) => entry.startTime)[0]"""
REDRAW = """const began = performance.now();
const chart = document.querySelector('#view-prepare .chart').chart;
chart.updateOptions({ file: chart.file_ });
return performance.now() - began;"""


def paint(browser, address, times=9):
    found = []
    for _ in range(times):
        browser.open(address)
        found.append(browser.wait(PAINT, "the first paint"))
    return statistics.median(found)


def slider(browser):
    go(browser, "prepare")
    browser.wait("return bakewright.timings.length", "the first answer")
    choose(browser, "prepare", "Coating", "clear_low_bake")
    choose(browser, "prepare", "Booth", "stirred_insulated")
    browser.wait("return document.querySelector('#view-prepare svg.map')", "the map")
    before = browser.run("return bakewright.timings.length")
    for hold in list(range(30, 90, 5)) * 2:
        set_number(browser, "move-hold", hold)
    return statistics.median(browser.run("return bakewright.timings")[before:])


def main(program, project):
    with tempfile.TemporaryDirectory() as folder, Served(program, project, folder) as served, Browser(folder) as browser:
        enter(browser, served)
        times = {"first_paint": paint(browser, served.origin + "/"), "blank_paint": paint(browser, served.origin + "/dygraph.txt")}
        browser.open(served.origin + "/")
        times["slider"] = slider(browser)
        times["redraw"] = statistics.median(browser.run(REDRAW) for _ in range(21))
    print(json.dumps(times))


if __name__ == "__main__":
    main(*sys.argv[1:])
