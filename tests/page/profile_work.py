# SPDX-License-Identifier: Apache-2.0
"""A shell is changed on its drawing by keyboard alone; profiles are copied, renamed, deleted; what was done is undone."""

import os
import time

from page_steps import check, go, press

ENTER, ESC, TAB, RIGHT, DOWN, CONTROL, SHIFT = "\ue007", "\ue00c", "\ue004", "\ue014", "\ue015", "\ue009", "\ue008"
TEXT = "document.getElementById('profile-text').value"
BESIDE = "document.querySelector('#view-profiles .profile > .bake:not([hidden])')"
FORM = "document.querySelector('#view-profiles .part-form')"
VIEW = "document.querySelector('#view-profiles').textContent"


def keys(browser, *pressed):
    """Keys one after the other at what has the focus; a tuple is held together."""
    for one in pressed:
        held = one if isinstance(one, tuple) else (one,)
        down = [{"type": "keyDown", "value": key} for key in held]
        browser.ask("POST", "/actions", {"actions": [{"type": "key", "id": "k", "actions": down + [{"type": "keyUp", "value": key} for key in reversed(held)]}]})


def write(browser, text):
    keys(browser, (CONTROL, "a"), *text)


def tab_to(browser, what, holds):
    for _ in range(90):
        if browser.run(f"const one = document.activeElement; return {holds}"):
            return
        keys(browser, TAB)
    check(False, f"the Tab key does not come to {what}")


def arrows_to(browser, title):
    """From part to part, to the right and then down row by row, until one is reached."""
    seen = set()
    for key in (RIGHT, DOWN, "\ue012", "\ue013") * 12:
        label = browser.run("return document.activeElement.getAttribute('aria-label') || ''")
        if label.startswith(title):
            return
        seen.add(label.split(",")[0])
        keys(browser, key)
    check(False, f"arrow keys do not come to {title}; seen {sorted(seen)}")


def shell_on_its_drawing(browser, served):
    """A copy of the van: a thickness is changed on the drawing by keyboard alone, the bake beside moves; undo, redo, save."""
    go(browser, "profiles/shell/library_van")
    browser.wait("return document.querySelector('#view-profiles .drawn-zone.part')", "the drawing of the shell")
    check(browser.run("return [...document.querySelectorAll('#view-profiles .profile-head button:not(.main)')].filter((one) => one.disabled).map((one) => one.textContent)") ==
          ["Undo", "Redo", "Rename", "Delete"], "what came with the program can be renamed or deleted")
    press(browser, "profiles", "Copy")
    browser.wait("return document.querySelector('dialog[open]')", "the question for a name")
    write(browser, "Branch van")
    tab_to(browser, "the answer", "one.textContent === 'Copy it'")
    keys(browser, ENTER)
    browser.wait(f"return location.hash === '#profiles/shell/branch_van' && {VIEW}.includes('Branch van')", "the copy")
    browser.wait(f"return {BESIDE} && {BESIDE}.textContent.includes('Slowest: ')", "a bake with it")
    before = browser.run(f"return {TEXT}")
    browser.run("document.getElementById('main').focus()")
    tab_to(browser, "a part", "one.matches('.drawn-zone.part')")
    arrows_to(browser, "side skins, upper")
    keys(browser, ENTER)
    browser.wait(f"return {FORM}.textContent.includes('How thick') && {FORM}.contains(document.activeElement)", "the form of the part")
    tab_to(browser, "the thickness", "one.dataset.key === 'thickness[0]'")
    write(browser, "16g")
    keys(browser, ENTER)
    browser.wait(f"return {FORM}.textContent.includes('Did you mean 16 gauge?')", "the question about 16g")
    check(browser.run(f"return {TEXT}") == before, "what was not understood is in the text")
    write(browser, "4 mm")
    keys(browser, ENTER)
    browser.wait(f"return {TEXT}.includes('thickness = \"4 mm\"')", "the thickness in the text")
    browser.wait(f"return {BESIDE}.textContent.includes('than before the change')", "the bake beside to move")
    after = browser.run(f"return {TEXT}")
    check(len(after) > len(before) - 10 and after.count("#") == before.count("#"), "remarks of the text are gone")
    check(browser.run("return document.activeElement.dataset.key") == "thickness[0]", "the focus left the field")
    keys(browser, ESC)
    browser.wait("return document.activeElement.matches('.drawn-zone.part')", "the way back to the part")
    keys(browser, (CONTROL, "z"))
    browser.wait(f"return {TEXT} === arguments[0]", "the thickness to be taken back", before)
    keys(browser, (CONTROL, SHIFT, "z"))
    browser.wait(f"return {TEXT} === arguments[0]", "it to be done again", after)
    check("not saved yet" in browser.run("return document.querySelector('#view-profiles .profile-head').textContent"), "nothing says that it is not saved")


def unsaved_work(browser, served):
    """It outlives a reload; what another saves meanwhile is noticed, and either can be kept."""
    after = browser.run(f"return {TEXT}")
    browser.run("location.reload()")
    browser.wait(f"return document.getElementById('profile-text') && {VIEW}.includes('are back')", "unsaved changes after a reload")
    check(browser.run(f"return {TEXT}") == after, "the changes that are back are others")
    path = os.path.join(served.folder, "data/bakewright/own_profiles/shells/branch_van.toml")
    with open(path, encoding="utf-8") as file:
        there = file.read()
    with open(path, "w", encoding="utf-8") as file:
        file.write(there + "# another window\n")
    browser.run("window.dispatchEvent(new Event('focus'))")
    browser.wait(f"return {VIEW}.includes('saved in another window')", "the other window to be noticed")
    press(browser, "profiles", "Take the other")
    browser.wait(f"return {TEXT}.endsWith('# another window\\n')", "the other's text")
    press(browser, "profiles", "Undo")
    browser.wait(f"return {TEXT} === arguments[0]", "mine again", after)
    browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the check")
    press(browser, "profiles", "Save as the shop’s own")
    browser.wait(f"return {VIEW}.includes('saved in ')", "it to be saved")
    with open(path, encoding="utf-8") as file:
        check(file.read() == after, "the file is not what was saved")
    with open(path, "a", encoding="utf-8") as file:
        file.write("# by hand\n")
    browser.run("document.getElementById('profile-text').closest('details').open = true")
    browser.one("#profile-text").type("\n# mine\n")
    time.sleep(0.5)
    browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the check")
    press(browser, "profiles", "Save as the shop’s own")
    browser.wait("return document.querySelector('#view-profiles .pair pre')", "both versions")
    check("# by hand" in browser.run("return document.querySelector('#view-profiles .pair').textContent"), "the file's line is not shown")
    press(browser, "profiles", "Keep mine")
    browser.wait("return document.activeElement.textContent === 'Save as the shop’s own'", "mine to be kept")
    press(browser, "profiles", "Save as the shop’s own")
    browser.wait("return document.querySelector('#view-profiles .versions').childElementCount === 0 && document.querySelector('#view-profiles .unsaved').hidden", "mine over it")
    with open(path, encoding="utf-8") as file:
        check(file.read().endswith("# mine\n"), "mine is not in the file")


def draw(browser, view, across, down):
    """A rectangle on a view of the drawing, in shares of it from its left and from its top."""
    frame = "[...document.querySelectorAll('#view-profiles .view-title')].find((one) => one.textContent === arguments[0]).nextElementSibling"
    x, y, width, height = browser.run(f"const box = {frame}.getBoundingClientRect(); return [box.x, box.y, box.width, box.height]", view)
    corners = [{"type": "pointerMove", "x": round(x + a * width), "y": round(y + d * height)} for a, d in zip(across, down)]
    actions = [corners[0], {"type": "pointerDown", "button": 0}, corners[1], {"type": "pointerUp", "button": 0}]
    browser.ask("POST", "/actions", {"actions": [{"type": "pointer", "id": "p", "actions": actions}]})


def parts_come_and_go(browser, _):
    """A part is drawn on a view, or added by its side and extents, joined, and taken out; names that hold markup stay text."""
    browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the check")
    # The drawing comes after the check: a button that nobody sees yet adds nothing.
    browser.wait("return document.querySelector('#view-profiles .drawing:not([hidden]) .drawn-zone.part')", "the drawing")
    press(browser, "profiles", "Add a part")
    time.sleep(0.5)  # the page is at rest: a pointer goes where it was told to
    for view, side, across, wanted in (("Top", "top", (0.25, 0.75), (2.75, 8.25, 0.625, 1.875)), ("Right side", "right_side", (0.5, 0.75), (2.75, 5.5, 0.8, 2.4))):
        draw(browser, view, across, (0.25, 0.75))
        placed = browser.run("return ['side', 'from', 'to', 'low', 'high'].map((key) => document.getElementById('part-' + key).value)")
        check(placed[0] == side and all(abs(float(one.split()[0]) - metres) < 0.1 for one, metres in zip(placed[1:], wanted)), f"what was drawn on {view} is placed at {placed}")
    said = {"title": '<img src=x onerror="window.hacked=1">', "from": "2.2 m", "to": "4.4 m", "low": "0.8 m", "high": "1.6 m", "made_of": "1.5 mm ally"}
    browser.run("const side = document.getElementById('part-side'); side.value = 'right_side'; side.dispatchEvent(new Event('change'))")
    for key, words in said.items():
        browser.one(f"#part-{key}").clear()
        browser.one(f"#part-{key}").type(words)
    press(browser, "profiles", "Add it")
    browser.wait(f"return {FORM}.querySelector('h2').textContent === arguments[0]", "the form of the new part", said["title"])
    check(browser.run("return document.querySelectorAll('#view-profiles img').length") == 0 and browser.run("return window.hacked") is None, "markup became elements")
    check("area = \"1.76 m2\"" in browser.run(f"return {TEXT}"), "the area does not follow from the extents")
    browser.run(f"const form = {FORM}; form.querySelector('details').open = true; document.getElementById('part-join').value = 'side_lower'; document.getElementById('part-join_how').value = 'bolts'")
    press(browser, "profiles", "Change it")
    browser.wait(f"return {FORM}.textContent.includes('To side skins, lower')", "the joint")
    press(browser, "profiles", "Take it out")
    browser.wait("return document.querySelector('dialog[open]')?.textContent.includes('1 joint')", "the question")
    browser.run("[...document.querySelectorAll('dialog button')].find((one) => one.textContent === 'Take it out').click()")
    browser.wait(f"return !{TEXT}.includes('1.76 m2')", "the part to be gone")
    check("bolts" not in browser.run(f"return {TEXT}"), "its joint is left")


def shapes_of(browser, title):
    """Middles of a part's shapes on the screen, and their sizes."""
    return browser.run("return [...document.querySelectorAll('#view-profiles .drawn-zone.part')].filter((one) => one.getAttribute('aria-label').startsWith(arguments[0])).map((one) => { const box = one.querySelector('rect').getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2, box.width, box.height]; })", title)


def drag(browser, start, end, kind="mouse"):
    moves = [{"type": "pointerMove", "x": round(x), "y": round(y)} for x, y in (start, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2), end)]
    actions = [moves[0], {"type": "pointerDown", "button": 0}, *moves[1:], {"type": "pointerUp", "button": 0}]
    browser.ask("POST", "/actions", {"actions": [{"type": "pointer", "id": kind, "parameters": {"pointerType": kind}, "actions": actions}]})


def height_of(browser, name):
    """Height of a part as the text has it [m]."""
    return browser.run(f"const text = {TEXT}; const at = text.indexOf('name = \"' + arguments[0] + '\"'); return Number.parseFloat(/\\nheight = \"([0-9.]+)/.exec(text.slice(at))[1])", name)


def open_anew(browser):
    """The van as it came with the program, drawn for the width as it is now."""
    go(browser, "profiles/booth/single_skin")
    browser.wait("return document.querySelector('#view-profiles .booth-log:not([hidden])')", "a booth")
    go(browser, "profiles/shell/library_van")
    browser.wait("return document.querySelector('#view-profiles .booth-log[hidden]') && document.querySelector('#view-profiles .drawing:not([hidden]) .drawn-zone.part')", "the drawing")


def parts_move(browser, served):
    """A part is moved and resized: by keys alone, by a mouse at 1280, by a finger at 820, by numbers; its height follows, undo brings it back."""
    open_anew(browser)
    begin = browser.run(f"return {TEXT}")
    name, title = "side_upper", "side skins, upper"
    was = height_of(browser, name)
    # Keys alone: Shift and arrows move it, Ctrl and arrows its upper edge; one step each for Undo.
    browser.run("document.getElementById('main').focus()")
    tab_to(browser, "a part", "one.matches('.drawn-zone.part')")
    arrows_to(browser, title)
    keys(browser, (SHIFT, DOWN))
    browser.wait(f"return {TEXT} !== arguments[0]", "the part to be moved by a key", begin)
    check(abs(height_of(browser, name) - (was - 0.05)) < 0.011, f"moved down by 5 cm it is at {height_of(browser, name)} m, it was at {was} m")
    check(browser.run("return document.activeElement.getAttribute('aria-label')").startswith(title), "the focus left the part")
    browser.wait(f"return {FORM}.textContent.includes('the air there counts')", "what follows from it")
    check(browser.run(f"return {TEXT}").count("#") == begin.count("#"), "remarks of the text are gone")
    keys(browser, (CONTROL, "z"))
    browser.wait(f"return {TEXT} === arguments[0]", "it to be back", begin)
    # With a mouse by its body, and by a corner; with a finger on a tablet.
    for width, height, kind in ((1280, 800, "mouse"), (820, 1180, "touch")):
        browser.command("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        open_anew(browser)
        browser.run("[...document.querySelectorAll('#view-profiles .drawn-zone.part')].find((one) => one.getAttribute('aria-label').startsWith(arguments[0])).dispatchEvent(new MouseEvent('click', { bubbles: true }))", title)
        browser.wait("return document.querySelector('#view-profiles .drawn-handle')", "its handles")
        browser.run("document.querySelector('#view-profiles .shell-editor').scrollIntoView({ block: 'start' })")
        time.sleep(0.6)  # the page is at rest: a pointer goes where it was told to
        x, y, w, h = shapes_of(browser, title)[0]
        drag(browser, (x - w / 4, y), (x - w / 4, y + h / 2), kind)
        browser.wait(f"return {TEXT} !== arguments[0]", f"the part to be moved by a {kind}", begin)
        lower = height_of(browser, name)
        check(lower < was - 0.1, f"dragged down it is at {lower} m, it was at {was} m")
        moved = browser.run(f"return {TEXT}")
        time.sleep(0.6)
        x, y, w, h = shapes_of(browser, title)[0]
        drag(browser, (x + w / 2, y - h / 2), (x + w / 2 - 40, y + h / 4), kind)
        browser.wait(f"return {TEXT} !== arguments[0]", f"the part to be resized by a {kind}", moved)
        check(height_of(browser, name) < lower, "its upper edge came down and its middle did not")
        browser.wait(f"return {FORM}.textContent.includes('as somebody wrote it')", "what became of its area")
        for back in (moved, begin):
            press(browser, "profiles", "Undo")
            browser.wait(f"return {TEXT} === arguments[0]", "it back step by step", back)
    browser.command("Emulation.clearDeviceMetricsOverride")
    # By numbers, in the part's form.
    open_anew(browser)
    browser.run("[...document.querySelectorAll('#view-profiles .drawn-zone.part')].find((one) => one.getAttribute('aria-label').startsWith(arguments[0])).dispatchEvent(new MouseEvent('click', { bubbles: true }))", title)
    browser.wait("return document.getElementById('part-place[0].to') !== null", "the form")
    browser.run("document.getElementById('part-place[0].to').closest('details').open = true; const field = document.getElementById('part-place[0].to'); field.focus(); field.select()")
    write(browser, "70 m")
    keys(browser, ENTER)
    browser.wait(f"return {FORM}.textContent.includes('is beyond it')", "what is beyond the shell to be asked about")
    check(browser.run(f"return {TEXT}") == begin, "what is beyond the shell is in the text")
    write(browser, "9 m")
    keys(browser, ENTER)
    browser.wait(f"return {TEXT}.includes('to = 0.8182')", "the number in the text")
    press(browser, "profiles", "Undo")
    browser.wait(f"return {TEXT} === arguments[0]", "it back", begin)


def log_of_the_empty_booth(browser, served):
    """A log of the empty booth is brought in beside its profile: numbers and what it could not tell, in one step that Undo takes back."""
    log = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "data", "demo", "empty_booth.csv")
    go(browser, "profiles/booth/single_skin")
    browser.wait("return document.querySelector('#view-profiles .booth-log:not([hidden])')", "the fold")
    begin = browser.run(f"return {TEXT}")
    # The log is of a booth of 11 x 5 x 4.5 m; profiles that came with the program are others.
    with open(log, encoding="utf-8") as file:
        text = file.read()
    sized = begin.replace('length = "13 m", width = "4.8 m", height = "4.8 m"', 'length = "11 m", width = "5 m", height = "4.5 m"').replace('volume = "300 m3"', 'volume = "247.5 m3"').replace('wall_area = "290 m2"', 'wall_area = "254 m2"')
    browser.run("document.querySelector('#view-profiles details.fold.card-box:not(.booth-log)').open = true; const field = document.getElementById('profile-text'); field.value = arguments[0]; field.dispatchEvent(new Event('input'))", sized)
    browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the check")
    browser.run("""const fold = document.querySelector('#view-profiles .booth-log'); fold.open = true;
        const given = new DataTransfer(); given.items.add(new File([arguments[0]], 'empty_booth.csv'));
        const file = document.getElementById('booth-log-file'); file.files = given.files; file.dispatchEvent(new Event('change'))""", text)
    browser.wait("return document.querySelectorAll('#view-profiles .booth-log [data-channel]').length === 6", "its channels")
    check(browser.run("return [...document.querySelectorAll('#view-profiles .booth-log [data-channel]')].map((one) => one.value)") == ["air", "air at 0.3 m", "air at 4.2 m", "wall", "floor", "outside"], "channels do not go by their names")
    browser.one("#booth-log-set").type("60")
    browser.run("document.querySelector('#view-profiles .booth-log form').requestSubmit()")
    browser.wait("return document.querySelector('#view-profiles .booth-log table')", "what the log tells")
    said = browser.run("return document.querySelector('#view-profiles .booth-log').textContent")
    check("heater, into the air" in said and "What it could not tell" in said, f"what is told: {said[:400]}")
    check("log of the empty booth, empty_booth.csv" in browser.run(f"return {TEXT}"), "it is not in the text")
    press(browser, "profiles", "Undo")
    browser.wait(f"return {TEXT} === arguments[0]", "it to be taken back", sized)
    browser.run("[...document.querySelectorAll('#view-profiles .booth-log [data-channel]')].forEach((one) => { one.value = one.value === 'wall' ? 'air' : one.value === 'air' ? 'wall' : one.value; }); document.querySelector('#view-profiles .booth-log form').requestSubmit()")
    browser.wait("return document.querySelector('#view-profiles .booth-log [role=alert]')", "what does not fit to be refused")
    check(browser.run(f"return {TEXT}") == sized, "what was refused is in the text")
    press(browser, "profiles", "Undo")


def names(browser, served):
    """Renamed, deleted and put back, each after a question that says that the book keeps what bakes used."""
    folder = os.path.join(served.folder, "data/bakewright/own_profiles/shells")
    for words, answer, name in (("Rename", "Rename it", "north_van"), ("Delete", "Delete it", None)):
        press(browser, "profiles", words)
        browser.wait("return document.querySelector('dialog[open]')?.textContent.includes('Bakes in the book keep what they used')", "the question")
        if name:
            write(browser, "North van")
        browser.run("[...document.querySelectorAll('dialog button')].find((one) => one.textContent === arguments[0]).click()", answer)
        browser.wait("return !document.querySelector('dialog') && location.hash === arguments[0]", answer, f"#profiles/shell/{name}" if name else "#profiles/shell")
        check(not os.path.exists(os.path.join(folder, "branch_van.toml")), "the old name is still there")
    check(not os.path.exists(os.path.join(folder, "north_van.toml")), "the file is still there")
    press(browser, "profiles", "Put it back")
    browser.wait("return location.hash === '#profiles/shell/north_van'", "it back")
    check(os.path.exists(os.path.join(folder, "north_van.toml")), "it is not back")


def draft(browser, served):
    """What was made of answers and not saved outlives a reload too, and is saved then."""
    go(browser, "profiles/coating/+new")
    browser.wait("return document.getElementById('question-bakes') !== null", "the form")
    browser.one("#question-title").type("Reload clear")
    browser.one("#question-bakes").type("35 min at 60 C")
    browser.wait("return !document.querySelector('#view-profiles button.main').disabled", "the text to be taken")
    press(browser, "profiles", "Look at it and save")
    browser.wait(f"return {TEXT}.includes('Reload clear')", "the text")
    text = browser.run(f"return {TEXT}")
    browser.run("location.reload()")
    browser.wait(f"return document.getElementById('profile-text') && {TEXT} === arguments[0]", "the text after a reload", text)
    browser.wait("return document.querySelector('#view-profiles ul.names')?.textContent.includes('not saved yet')", "the draft in the list")
    browser.wait("return !document.querySelector('#view-profiles .profile button.main').disabled", "the check")
    press(browser, "profiles", "Save as the shop’s own")
    browser.wait(f"return {VIEW}.includes('saved in ')", "it to be saved")
    browser.wait("return !document.querySelector('#view-profiles ul.names').textContent.includes('not saved yet')", "the draft to leave the list")
    check(os.path.exists(os.path.join(served.folder, "data/bakewright/own_profiles/coatings/reload_clear.toml")), "the file is not there")


SMALL = """
return [...document.querySelectorAll('#view-profiles .profile button, #view-profiles .profile select, #view-profiles .profile input')]
  .filter((one) => one.checkVisibility() && !one.closest('.chart-holder, ul.plain') && one.getBoundingClientRect().height < 44 && !one.matches('.pick')).map((one) => one.outerHTML.slice(0, 80));
"""


def editor_on_a_tablet(browser, _):
    """On a tablet and a phone nothing is cut off and what is used is large enough for a finger."""
    go(browser, "profiles/shell/library_van")
    browser.wait("return document.querySelector('#view-profiles .drawn-zone.part')", "the drawing")
    browser.run("document.querySelector('#view-profiles .drawn-zone.part').dispatchEvent(new MouseEvent('click', { bubbles: true }))")
    browser.wait(f"return {FORM}.querySelector('form')", "the form")
    for width, height in ((820, 1180), (360, 740)):
        browser.command("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        time.sleep(0.3)
        over = browser.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
        check(over <= 0, f"the editor is {over} pixels too wide for {width}")
        small = browser.run(SMALL)
        check(not small, f"under 44 pixels at {width}: {small[:3]}")
    browser.command("Emulation.clearDeviceMetricsOverride")


PROFILE_WORK = [shell_on_its_drawing, unsaved_work, parts_come_and_go, names, parts_move, log_of_the_empty_booth, draft, editor_on_a_tablet]
