#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The page in a real browser, as its user meets it.

usage: in_browser.py PROGRAM PROJECT [PICTURES]

Exit status 77 where no Chromium is installed (never where CI is set). With PICTURES, a folder, pictures of every view are left there.
"""

import json
import os
import sys
import tempfile
import time
import traceback

from browser import Browser, BrowserError
from live_work import live, live_pictures
from page_rules import low_contrasts, unnamed
from page_steps import DRAWN, WORD, Failed, check, choose, drop, enter, go, pages, press, set_number
from profile_work import PROFILE_WORK
from shop_work import SHOP_WORK, cards, keep_an_item, start_learning, wait_for_lesson
from served import Served

MARKUP = '<img src=x onerror="window.hacked=1"><b>roof</b>'
VIEWS = ["today", "prepare", "live", "bakes", "log", "history", "tune", "profiles"]


def prepare(browser, _):
    """Prepare a bake, move the hold, and the verdict changes."""
    go(browser, "prepare")
    browser.wait(DRAWN, "the first answer")
    choose(browser, "prepare", "Coating", "clear_low_bake")
    choose(browser, "prepare", "Booth", "stirred_insulated")
    time.sleep(0.3)
    set_number(browser, "move-setpoint", 60)
    set_number(browser, "move-hold", 10)
    browser.wait(WORD + " === 'UNDER'", "ten minutes of hold to be UNDER")
    set_number(browser, "move-hold", 90)
    browser.wait(WORD + " === 'GOOD'", "an hour and a half of hold to be GOOD")
    drawn = browser.run(DRAWN)
    browser.one("#move-hold").type("\ue015")  # the arrow down: by keyboard alone
    browser.wait(f"return bakewright.timings.length > {drawn}", "the answer to a key")
    check(browser.run("return document.getElementById('move-hold').value") == "85", "the arrow key moved the hold")
    browser.wait("return document.querySelector('#view-prepare svg.map .feasible')", "the map")
    browser.wait("return document.querySelector('#view-prepare').textContent.includes('How sure')", "how sure it is")


LETTERS = """
const drawing = document.querySelector('#view-prepare .shell-drawing');
const shapes = [...drawing.querySelectorAll('.drawn-zone')].map((zone) => ({ zone, box: zone.querySelector('rect').getBoundingClientRect() }));
const holds = (box, word) => word.x > box.left && word.x < box.right && word.y > box.top && word.y < box.bottom;
// The shape that lies on top where a word has its middle: later ones lie over earlier ones.
const tops = [...drawing.querySelectorAll('.drawn-word')].map((one) => one.getBoundingClientRect())
  .map((box) => ({ x: box.x + box.width / 2, y: box.y + box.height / 2 })).map((word) => shapes.filter((shape) => holds(shape.box, word)).pop());
return shapes.filter((shape) => !shape.zone.classList.contains('bare') && shape.box.width >= 18 && shape.box.height >= 18 && !tops.includes(shape))
  .map((shape) => shape.zone.getAttribute('aria-label'));
"""


def pictures_of_bake(browser, _):
    """Lanes are drawn, and every zone of the drawing has its letter where nothing covers it."""
    go(browser, "prepare")
    browser.wait("return document.querySelector('#view-prepare .lane')", "the lanes")
    browser.wait("return document.querySelector('#view-prepare .drawn-word')", "the drawing")
    bare = browser.run(LETTERS)
    check(not bare, f"without a letter of their own: {bare}")


def units(browser, _):
    """°F shows the same bake."""
    go(browser, "prepare")
    browser.run("document.querySelector('#units input[value=us]').click()")
    browser.wait("return document.querySelector('#move-setpoint').value === '140'", "60 °C as 140 °F")
    browser.wait("return document.querySelector('#view-prepare .outcome table').textContent.includes('°F')", "tables in °F")
    browser.run("document.querySelector('#units input[value=metric]').click()")
    browser.wait("return document.querySelector('#move-setpoint').value === '60'", "60 °C again")


def markup(browser, _):
    """Names that hold markup stay text."""
    go(browser, "prepare")
    browser.run("document.querySelector('#view-prepare input[placeholder^=clear]').value = arguments[0]", MARKUP)
    press(browser, "prepare", "Keep in the book")
    browser.wait("return document.querySelector('#view-prepare').textContent.includes('Kept as bake')", "the bake to be kept")
    go(browser, "bakes")
    browser.wait("return document.querySelector('#view-bakes h2')?.textContent === arguments[0]", "the title as text", MARKUP)
    check(browser.run("return document.querySelectorAll('#view-bakes img, #view-bakes h2 b').length") == 0, "markup became elements")
    check(browser.run("return window.hacked") is None, "a name ran a script")


def semicolons(project):
    """The demo's log as a logger with decimal commas writes it."""
    with open(os.path.join(project, "tests/data/demo/clear_group_1.csv"), encoding="utf-8") as file:
        return file.read().replace(",", ";").replace(".", ",")


def drop_log(browser, served):
    """Drop a CSV with semicolons and decimal commas; see it read, kept and compared."""
    go(browser, "log")
    choose(browser, "log", "Shell", "library_van")
    choose(browser, "log", "Coating", "clear_low_bake")
    choose(browser, "log", "It is the log of", "1")
    drop(browser, "booth <i>3</i>.csv", semicolons(served.project))
    browser.wait("return document.querySelector('#view-log').textContent.includes('decimal comma')", "the log to be read")
    text = browser.run("return document.querySelector('#view-log .outcome').textContent")
    check("separated by semicolon" in text, "the semicolon was not told")
    check("booth <i>3</i>.csv" in text, "the file's name is not shown as it is")
    named = browser.run("return [...document.querySelectorAll('#view-log tbody select')].filter((one) => one.value).length")
    check(named >= 9, f"{named} channels found their zone, not 9")
    press(browser, "log", "Keep in the book")
    browser.wait("return document.querySelector('#view-bakes').textContent.includes('Predicted against logged')", "the comparison")
    check(browser.location.endswith("#bakes/2"), "the kept log is not what is looked at")
    browser.wait("return document.querySelector('#view-bakes').textContent.includes('Within what probe and model may be off')", "which channels agree")
    agreeing = "[...document.querySelectorAll('#view-bakes table')].find((one) => one.caption.textContent.startsWith('Within what probe'))"
    named = browser.run(f"return [...{agreeing}.querySelectorAll('tbody th')].map((one) => one.textContent)")
    check("rocker panels" in named and len(named) > 3, f"{named} are compared with what probe and model may be off")
    check("channels agree within" in browser.run("return document.querySelector('#view-bakes').textContent"), "nothing is said of the channels")


def correct_log(browser, _):
    """What was read wrong is corrected and read again."""
    go(browser, "log")
    choose(browser, "log", "Temperatures where the file does not say", "degF")
    choose(browser, "log", "Decimal mark", ",")
    browser.wait("return document.querySelector('#view-log .outcome').textContent.includes('decimal comma')", "the second reading")
    select = "document.querySelector('#view-log tbody select')"
    browser.run(f"{select}.value = 'booth wall'; {select}.dispatchEvent(new Event('change'))")
    browser.wait(f"return {select}.value === 'booth wall'", "the channel's new name")


def history(browser, served):
    """A coat and a bake are entered, and the shell is judged."""
    served.run("coat", "add", "--shell", "library_van", "--coating", "clear_low_bake", "--name", MARKUP, "--at", "2027-03-03T14:00")
    served.run("history", "add", "2", "--shell", "library_van", "--at", "2027-03-03T14:15")
    go(browser, "history/library_van")
    browser.wait("return document.querySelector('#view-history').textContent.includes('Bakes as entered')", "the history")
    browser.wait("return document.querySelector('#view-history').textContent.includes('How sure')", "how sure it is")
    check(browser.run("return document.querySelectorAll('#view-history img').length") == 0, "markup became elements")


def editor(browser, served):
    """A profile is checked while it is typed, and saved as the shop's own."""
    go(browser, "profiles/coating/clear_low_bake")
    text = browser.one("#profile-text")
    browser.wait("return document.querySelector('#view-profiles').textContent.includes('No mistakes')", "the first check")
    browser.run("document.getElementById('profile-text').setSelectionRange(0, 0)")
    text.type("nonsense = 1\n")
    browser.wait("return /mistake/.test(document.querySelector('#view-profiles .word.alarm')?.textContent)", "the mistake")
    check(browser.run("return document.querySelector('#view-profiles button.main').disabled"), "a mistaken profile can be saved")
    browser.run(
        """const area = document.getElementById('profile-text');
        area.value = area.value.replace(/^.*nonsense = 1\\n/s, (found) => found.replace('nonsense = 1\\n', ''));
        area.dispatchEvent(new Event('input'));
        document.getElementById('profile-name').value = 'shop_clear';"""
    )
    browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the profile to be good again")
    beside = "document.querySelector('#view-profiles .profile > .card-box.bake:not([hidden])')"
    browser.wait(f"return {beside} && {beside}.textContent.includes('Slowest: ') && {beside}.querySelector('canvas')", "a bake with the profile as it stands")
    browser.run(
        """const area = document.getElementById('profile-text');
        area.value = area.value.replace('60 min', '50 min');
        area.dispatchEvent(new Event('input'));"""
    )
    browser.wait(f"return {beside}.textContent.includes('sooner than before the change')", "what the change does to the bake")
    browser.one("#view-profiles button.main").click()
    browser.wait("return document.querySelector('#view-profiles').textContent.includes('saved in')", "the profile to be saved")
    check(os.path.exists(os.path.join(served.folder, "data/bakewright/own_profiles/coatings/shop_clear.toml")), "the file is not there")


NEW = {
    "shell": ({"shape": "box van", "title": "Outreach van", "size": "7 x 2.3 x 2.9 m", "floor": "0.9 m, 0.45 m", "cab": "crew cab",
               "front": "GRP cap 4 mm"}, "1089 kg of parts", "shells/outreach_van.toml"),
    "booth": ({"title": "North booth", "size": "11 x 5 x 4.5 m", "walls": "single sheet", "heat": "150 kW"}, "assumed", "booths/north_booth.toml"),
    "coating": ({"title": "Sheet clear", "bakes": "35 min at 60 C", "basis": "metal", "flash_off": "5 to 15 min"}, "assumed", "coatings/sheet_clear.toml"),
}


def made_by_questions(browser, served):
    """A box van, a booth and a clear made of answers: each is said how it was read, and saved as the shop's own."""
    entries = 0
    for kind, (answers, told, path) in NEW.items():
        go(browser, f"profiles/{kind}")
        browser.wait(f"return [...document.querySelectorAll('#view-profiles a')].some((one) => one.textContent === 'New {kind} by questions')", "the link")
        go(browser, f"profiles/{kind}/+new")
        for key, answer in answers.items():
            browser.wait("return document.getElementById(arguments[0]) !== null", f"the question {key}", f"question-{key}")
            browser.one(f"#question-{key}").type(answer)
            entries += 1
        browser.wait("return document.querySelector('#view-profiles').textContent.includes(arguments[0])", told, told)
        browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the text to be taken")
        press(browser, "profiles", "Look at it and save")
        browser.wait("return document.querySelector('#view-profiles').textContent.includes('No mistakes')", "the check")
        press(browser, "profiles", "Save as the shop’s own")
        browser.wait("return document.querySelector('#view-profiles').textContent.includes('saved in')", "the profile to be saved")
        check(os.path.exists(os.path.join(served.folder, "data/bakewright/own_profiles", path)), f"{path} is not there")
        entries += 3
    check(entries <= 60, f"{entries} clicks and entries")
    go(browser, "profiles/coating/+new")
    browser.wait("return document.getElementById('question-bakes') !== null", "the form")
    browser.one("#question-bakes").type("60 min at 70 C; 30 min at 60 C")
    browser.wait("return document.querySelector('#said-bakes').textContent.includes('swapped')", "the question about the rows")
    check(browser.run("return document.querySelector('#view-profiles button.main').disabled"), "what was not understood can be taken")


def keyboard(browser, _):
    """Every control is reached by the Tab key and shows that it has the focus."""
    go(browser, "prepare")
    browser.run("location.reload()")  # the first Tab key begins at the top of a page that is new
    browser.wait("return window.bakewright && document.querySelector('#view-prepare .lane')", "the page anew")
    seen = set()
    for _ in range(90):
        browser.ask("POST", "/actions", {"actions": [{"type": "key", "id": "k", "actions": [{"type": "keyDown", "value": "\ue004"}, {"type": "keyUp", "value": "\ue004"}]}]})
        found = browser.run(
            """const one = document.activeElement;
            const box = one.matches('.switch input') ? one.nextElementSibling : one;
            return [one.tagName + ' ' + (one.id || one.textContent.slice(0, 20) || one.name), getComputedStyle(box).outlineStyle !== 'none']"""
        )
        if found[0].startswith("BODY"):
            break
        check(found[1], f"{found[0]} has the focus and does not show it")
        seen.add(found[0])
    for wanted in ("A Prepare", "INPUT move-setpoint", "INPUT move-hold", "BUTTON Find the shortest cy"):
        check(wanted in seen, f"{wanted} is not reached by the Tab key")
    # A number between two steps stays what it is, and the next step is a whole one.
    hold = browser.run("const hold = document.getElementById('move-hold'); hold.value = '63'; hold.dispatchEvent(new Event('change')); return hold.value")
    check(hold == "63", f"a hold of 63 min is shown as {hold}")
    browser.run("document.querySelector('#view-prepare [aria-label=\"more: Hold\"]').click()")
    hold = browser.run("return document.getElementById('move-hold').value")
    check(hold == "65", f"a step up from 63 min goes to {hold}")


def rules(browser, _):
    """Contrast and names of every view, light and dark (WCAG 2.2: 1.4.3, 1.4.11 in part, 4.1.2)."""
    places = {"bakes": "bakes/2", "history": "history/library_van", "profiles": "profiles/coating/clear_low_bake"}
    for tone in ("light", "dark"):
        browser.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": tone}])
        for view in VIEWS:
            go(browser, places.get(view, view))
            time.sleep(0.7)
            found = low_contrasts(browser)
            check(not found, f"{view}, {tone}: too little contrast: {found[:5]}")
            if tone == "light":
                found = unnamed(browser)
                check(not found, f"{view}: without a name: {found[:5]}")
    browser.command("Emulation.setEmulatedMedia", features=[])


AXE = """

return axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })
  .then((found) => found.violations.map((one) => one.id + ': ' + one.nodes.slice(0, 3).map((node) => node.target.join(' ')).join(', ')));
"""


def accessible(browser, served):
    """Nothing that axe-core finds against WCAG 2.2 AA on any view, light and dark; skipped where `tools/setup --npm` has not brought it."""
    path = os.environ.get("BAKEWRIGHT_AXE", os.path.join(served.project, "build", "npm", "node_modules", "axe-core", "axe.min.js"))
    if not os.path.isfile(path):
        print("SKIPPED: no axe-core: tools/setup --npm, or BAKEWRIGHT_AXE names its axe.min.js")
        return
    with open(path, encoding="utf-8") as file:
        axe = file.read()
    places = {"bakes": "bakes/2", "history": "history/library_van", "profiles": "profiles/coating/clear_low_bake"}
    for tone in ("light", "dark"):
        browser.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": tone}])
        for view in VIEWS:
            go(browser, places.get(view, view))
            time.sleep(1)
            browser.run(axe)
            found = browser.run(AXE)
            check(not found, f"{view}, {tone}: {found}")
    browser.command("Emulation.setEmulatedMedia", features=[])


def report(browser, served):
    """A report opened from disk is drawn and prints; a sandboxed one of the page is drawn too."""
    served.run("report", "2", "--out", "report.html")
    browser.requests()
    browser.open(f"file://{served.folder}/report.html")
    browser.wait("return document.querySelector('#chart canvas')", "the chart of the report")
    check(browser.run("return document.querySelectorAll('img, #chart b b').length") == 0, "markup became elements")
    for paper, size in {"Letter": (21.59, 27.94), "A4": (21.0, 29.7)}.items():
        pdf = browser.print_to_pdf(*size)
        check(pdf.startswith(b"%PDF") and len(pdf) > 20000, "the report does not print")
        check(pages(pdf) == 2, f"the report takes {pages(pdf)} pages of {paper}")
    asked = [one for one in browser.requests() if not one.startswith(("file://", "data:", "blob:", served.origin))]  # the page before it may still ask
    check(not asked, f"the report asked for {asked}")
    enter(browser, served)
    browser.open(served.origin + "/report/2")
    browser.wait("return document.querySelector('#chart canvas')", "the chart of the page's report")
    enter(browser, served)


def screen(browser, width, height):
    browser.command("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)


SEEN = """
const boxes = Object.fromEntries(Object.entries({ verdict: '.verdict .headline', controls: '#move-hold', chart: '.chart', lane: '.lane', drawing: '.shell-drawing', map: 'svg.map' })
  .map(([name, selector]) => [name, document.querySelector('#view-prepare ' + selector)?.getBoundingClientRect()]));
return Object.keys(boxes).filter((name) => !boxes[name] || boxes[name].height === 0 || boxes[name].top < 0 || boxes[name].top + Math.min(boxes[name].height, 20) > innerHeight);
"""


def one_screen(browser, _):
    """Controls, verdict, chart, lanes, drawing and map are seen together, on a laptop and on a tablet; on a phone verdict and chart stay."""
    go(browser, "prepare")
    browser.wait("return document.querySelector('#view-prepare svg.map')", "the map")
    for width, height in ((1280, 800), (820, 1180)):
        screen(browser, width, height)
        browser.run("window.scrollTo(0, 0)")
        time.sleep(0.5)
        hidden = browser.run(SEEN)
        check(not hidden, f"not seen at {width} x {height}: {hidden}")
    screen(browser, 390, 844)
    time.sleep(0.5)
    browser.run("document.querySelector('#move-start').scrollIntoView({ block: 'end' })")
    time.sleep(0.3)
    top = browser.run("return document.querySelector('#view-prepare .chart').getBoundingClientRect().top")
    check(0 <= top < 844, f"the chart is gone from a phone while the last stepper is reached: {top}")
    browser.command("Emulation.clearDeviceMetricsOverride")


NAMES = """
const named = [...document.querySelectorAll('#view-prepare .chart-names .curve-name')].map((one) => one.getBoundingClientRect());
const over = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1;
const discs = [...document.querySelectorAll('#view-prepare .chart-names .disc circle')].map((one) => one.getBoundingClientRect());
return { names: named.length / 2, overlap: named.some((a, i) => named.some((b, j) => i < j && over(a, b))), discs: discs.length };
"""


def curves(browser, _):
    """Every strong curve has a letter and a name beside the chart; none covers another; a tap on a lane lifts its curve, Esc drops it."""
    go(browser, "prepare")
    browser.wait("return document.querySelector('#view-prepare .chart-names .disc.slowest')", "the slowest zone's letter")
    found = browser.run(NAMES)
    check(3 <= found["names"] <= 5, f"{found['names']} curves are named")
    check(not found["overlap"], "names of curves overlap")
    browser.run("document.querySelectorAll('#view-prepare .lane')[3].dispatchEvent(new MouseEvent('click', { bubbles: true }))")
    browser.wait("return document.querySelector('#view-prepare .chart-names .disc.lifted, #view-prepare .lane[aria-pressed=true]')", "the lifted zone")
    chart = browser.one("#view-prepare .chart")
    chart.type("\ue014\ue014")  # to the right: the box beside the cursor names every strong curve
    check(browser.run("return document.querySelectorAll('#view-prepare .chart-box tr').length") >= 3, "the box does not name the curves")
    chart.type("\ue00c")
    browser.wait("return !document.querySelector('#view-prepare .lane[aria-pressed=true]')", "Esc to drop the lifted zone")


def no_stale_verdict(browser, _):
    """A setting that is refused leaves no verdict, chart or lanes of another bake."""
    go(browser, "prepare")
    browser.run("window.sent = window.fetch; window.fetch = (path, init) => (String(path) === '/api/prepare' ? Promise.reject(new Error('gone')) : window.sent(path, init))")
    browser.run("document.querySelector('#view-prepare [aria-label=\"more: Hold\"]').click()")
    browser.wait(WORD + " === 'NOT JUDGED'", "the verdict to go")
    left = browser.run("return document.querySelectorAll('#view-prepare .lane, #view-prepare .drawn-zone, #view-prepare .chart canvas').length")
    check(left == 0, f"{left} parts of another bake's pictures are left")
    browser.run("window.fetch = window.sent")
    browser.run("document.querySelector('#view-prepare [aria-label=\"less: Hold\"]').click()")
    browser.wait("return ['GOOD', 'CHECK'].includes((document.querySelector('#view-prepare .answers .word') || {}).textContent)", "the verdict again")


def questions(browser, served):
    """Each question of the first view leads, by one action, to a view with an answer to it on top, on a laptop and on a tablet."""
    for width, height in ((1280, 800), (820, 1180)):
        screen(browser, width, height)
        go(browser, "today")
        browser.wait("return document.querySelectorAll('#view-today .ask').length >= 20", "the questions")
        asked = browser.run("return [...document.querySelectorAll('#view-today .ask')].map((one) => one.dataset.question)")
        for question in asked:
            go(browser, "today")
            browser.run("document.querySelector('#view-today .ask[data-question=' + arguments[0] + ']').click()", question)
            browser.wait("return document.getElementById('view-today').hidden", "another view")
            if question == "soft":
                browser.wait("return document.activeElement?.type === 'search'", "the search for its record")
                continue
            browser.wait(
                """const view = [...document.querySelectorAll('.view')].find((one) => !one.hidden);
                const told = view && view.querySelector('.question:not([hidden])');
                return told && told.textContent.trim().length > 12 && !told.textContent.includes('…');""",
                f"an answer to '{question}'",
            )
            if served.pictures:
                browser.picture(os.path.join(served.pictures, f"question-{question}-{width}.png"))
        if width == 1280:
            check(len(asked) >= 20, f"{len(asked)} questions are asked")
            go(browser, "today")
            browser.wait("return document.querySelector('#view-today .cards .word')", "the word on the newest log")
            last, word = browser.run("return ['.cards a[href^=\"#bakes/\"]', '.cards .word'].map((one) => document.querySelector('#view-today ' + one)).map((one) => one.getAttribute('href') || one.textContent)")
            judged = json.loads(served.run("judge", last.split("/")[1], "--json"))["worst"]
            check(word == judged, f"the first view says {word} of a bake that judge calls {judged}")
            check(judged in browser.run("return document.querySelector('#view-today [data-question=done]').textContent"), "Is it done? has no short answer")
            footer = browser.run("return document.getElementById('foot').textContent")
            check("book ~/shop.book" in footer, f"the book is not told as people know it: {footer}")
    browser.command("Emulation.clearDeviceMetricsOverride")


def narrow(browser, _):
    """On a tablet and on a small phone held upright nothing is cut off."""
    for width, height in ((800, 1100), (360, 740)):
        screen(browser, width, height)
        for view in VIEWS:
            go(browser, view)
            time.sleep(0.3)
            over = browser.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
            check(over <= 0, f"{view} is {over} pixels too wide for {width}")
    browser.command("Emulation.clearDeviceMetricsOverride")


def take_pictures(browser, folder):
    places = {"today": "today", "prepare": "prepare", "bakes": "bakes/2", "log": "log", "history": "history/library_van", "tune": "tune", "profiles": "profiles/coating/clear_low_bake"}
    for tone in ("light", "dark"):
        browser.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": tone}])
        browser.run("location.reload()")  # charts take their tones when they are made
        browser.wait("return document.querySelector('nav')", "the page again")
        for view, place in places.items():
            if tone == "dark" and view != "prepare":
                continue
            go(browser, place)
            if view == "tune":
                start_learning(browser)
                wait_for_lesson(browser)
            time.sleep(3 if view == "prepare" else 1.5)
            browser.run("window.scrollTo(0, 0)")
            browser.picture(os.path.join(folder, f"{view}{'-dark' if tone == 'dark' else ''}.png"))


STEPS = [prepare, pictures_of_bake, curves, no_stale_verdict, units, markup, drop_log, correct_log, history, *SHOP_WORK, one_screen, live, keep_an_item, questions, editor, made_by_questions, *PROFILE_WORK, keyboard, rules, accessible, narrow]


def no_outside_request(browser, served):
    outside = [one for one in browser.requests() if not one.startswith((served.origin + "/", "data:", "blob:", "about:", "chrome"))]
    check(not outside, f"requests left this computer: {outside[:5]}")
    complaints = [one for one in browser.complaints() if "400 (Bad Request)" not in one and "409 (Conflict)" not in one]
    check(not complaints, f"the browser complains: {complaints[:3]}")


def run(step, browser, served):
    began = time.time()
    try:
        step(browser, served)
        print(f"good    {time.time() - began:5.1f} s  {step.__doc__ or step.__name__}")
        return True
    except (Failed, BrowserError) as problem:
        print(f"FAILED  {time.time() - began:5.1f} s  {step.__doc__ or step.__name__}\n        {problem}")
    except Exception:
        print(f"FAILED  {step.__name__}")
        traceback.print_exc()
    return False


def main(program, project, pictures=None):
    missing = Browser.missing()
    if missing:
        print(f"skipped: {' and '.join(missing)} not installed; tools/setup installs chromium and chromium-driver")
        return 1 if os.environ.get("CI") else 77
    if pictures:
        os.makedirs(pictures, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, Served(program, project, folder) as served, Browser(folder) as browser:
        served.pictures = pictures
        enter(browser, served)
        good = [run(step, browser, served) for step in STEPS]
        good.append(run(no_outside_request, browser, served))
        good.append(run(report, browser, served))
        good.append(run(cards, browser, served))
        if pictures:
            take_pictures(browser, pictures)
            live_pictures(browser, served, pictures, screen)
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
