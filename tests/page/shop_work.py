# SPDX-License-Identifier: Apache-2.0
"""What a shop does beside preparing a bake: cards for the door, a second logger, learning from logs."""

import os

from page_steps import check, choose, drop, enter, go, pages, press


def shade(browser, selector):
    """Bands lie under the chart: how many pixels of its canvas are neither empty nor of a full tone."""
    return browser.run(
        """const canvas = document.querySelector(arguments[0] + ' .chart canvas');
        const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
        let faint = 0;
        for (let i = 3; i < data.length; i += 4) if (data[i] > 4 && data[i] < 128) faint += 1;
        return faint;""",
        selector,
    )


def bands(browser, _):
    """The bands of the prediction follow when the controls rest; picking a zone marks its lane."""
    go(browser, "prepare")
    browser.wait("return document.querySelector('#view-prepare .chart-foot > .hint:not([hidden])')", "the bands")
    shaded = shade(browser, "#view-prepare")
    check(shaded > 3000, f"only {shaded} pixels are shaded")
    pick = "document.querySelector('#view-prepare table button.pick').click()"
    browser.run(pick)
    check(browser.run("return document.querySelectorAll('#view-prepare .lane[aria-pressed=true]').length") == 1, "the picked zone's lane is not marked")
    browser.run(pick)


def titles(browser, _):
    """Zones are called as people call them, in lanes and tables."""
    go(browser, "prepare")
    for part in (".lanes", ".outcome table"):
        text = browser.run("return document.querySelector('#view-prepare ' + arguments[0]).textContent", part)
        check("rocker panels" in text and "rocker_panels" not in text, f"{part} shows names of the profile")


def tones(browser, _):
    """A chart that is drawn takes the dark tones when the screen turns dark."""
    go(browser, "prepare")
    grid = "document.querySelector('#view-prepare .chart').chart.getOption('gridLineColor')"
    light = browser.run("return " + grid)
    browser.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    browser.wait(f"return {grid} !== arguments[0]", "the chart's dark tones", light)
    browser.command("Emulation.setEmulatedMedia", features=[])
    browser.wait(f"return {grid} === arguments[0]", "the chart's light tones", light)


def busy(browser, _):
    """Where as many pieces of work go on as may, the next one waits for its turn."""
    go(browser, "prepare")
    browser.run(
        """const task = { shell: 'library_van', booth: 'stirred_insulated', coating: 'clear_low_bake', setpoint_k: 333, hold_s: 3600 };
        window.maps = [];
        window.is_full = false;
        window.outcome = null;
        // What the page itself works out may still go on, and has its place: ours are taken until no more is.
        const fill = () => bakewright.post('/api/prepare/map', task).then((answer) => { window.maps.push(answer.job); return fill(); }, () => { window.is_full = true; });
        fill().then(() => {
          bakewright.longWork('/api/prepare/certainty', task).done.then((answer) => { window.outcome = answer.format; }, (error) => { window.outcome = error.message; });
        });"""
    )
    browser.wait("return window.is_full", "all places to be taken")
    check(browser.run("return window.maps.length") > 0, "not one piece of work was taken")
    check(browser.run("return window.outcome") is None, "one more was done while all places were taken")
    browser.run("for (const job of window.maps) bakewright.remove('/api/jobs/' + job)")
    browser.wait("return window.outcome", "the next one")
    check(browser.run("return window.outcome") == "bakewright.certainty", browser.run("return window.outcome"))


def card_link(browser, _):
    """The card of what is set now, with a start, opens as a page of its own; with gas aboard there is none."""
    go(browser, "prepare")
    browser.run(
        """const start = document.querySelector('#view-prepare input[type=datetime-local]');
        start.value = '2027-03-01T16:20';
        start.dispatchEvent(new Event('change', { bubbles: true }));"""
    )
    link = "[...document.querySelectorAll('#view-prepare a.button')].find((one) => one.textContent.startsWith('Bake card'))"
    text = browser.run(f"return fetch({link}.href).then((answer) => answer.text())")
    check("starts 2027-03-01 16:20" in text, "the card does not know its start")
    check("NOT CHECKED" in text, "the card does not say what was not checked")
    browser.run("document.querySelector('#view-prepare .checks input[value=aboard]').click()")
    check(browser.run(f"return {link}.hidden"), "there is a card with gas still in")
    browser.run("document.querySelector('#view-prepare .checks input[value=not_checked]').click()")


def kept_card(browser, _):
    """The card of a kept bake claims the checks that are made beside it, for as long as that bake is looked at."""
    link = "[...document.querySelectorAll('#view-bakes a.button')].find((one) => one.textContent.startsWith('Bake card'))"
    things = browser.run("return bakewright.shop.checklist.length")

    def unchecked():
        return browser.run(f"return fetch({link}.href).then((answer) => answer.text())").count(">NOT CHECKED ")

    def answer(value):
        browser.run("document.querySelectorAll(`#view-bakes .checks input[value=${arguments[0]}]`).forEach((one) => one.click())", value)

    browser.run(
        """const task = { shell: 'library_van', booth: 'stirred_insulated', coating: 'clear_low_bake', setpoint_k: 333, hold_s: 5400 };
        window.kept = null;
        bakewright.post('/api/prepare/keep', task).then((answer) => { window.kept = answer.bake; });"""
    )
    browser.wait("return window.kept", "the next bake")
    kept = browser.run("return window.kept")
    go(browser, f"bakes/{kept}")
    browser.wait(f"return {link}", "the card of a kept bake")
    check(unchecked() == things, "the card claims a check that nobody made")
    answer("out")
    browser.wait("return document.querySelector('#view-bakes').textContent.includes('How sure')", "how sure it is")
    check(unchecked() == 0, "what was answered was lost when the bake was drawn anew")
    answer("aboard")
    check(browser.run(f"return {link}.hidden"), "there is a card with gas still in")
    answers = browser.run("return document.querySelectorAll('#view-prepare .checks input[value=not_checked]:checked').length")
    check(answers == things, "the answers for a kept bake are answers for the one that is prepared")
    for baked in (1, 2):
        go(browser, f"bakes/{baked}")
        browser.wait(f"return !{link}", "a bake that was baked, which has no card")
    go(browser, f"bakes/{kept}")
    browser.wait(f"return {link}", "the card again")
    check(unchecked() == things, "the answers for an earlier look are claimed again")


def other_shell(browser, _):
    """What was looked for in one shell was not looked for in another."""
    go(browser, "prepare")
    checked = "return document.querySelectorAll('#view-prepare .checks input[value=out]:checked').length"
    browser.run("document.querySelectorAll('#view-prepare .checks input[value=out]').forEach((one) => one.click())")
    check(browser.run(checked) > 0, "nothing can be answered")
    for shell in ("library_van_fitted", "library_van"):
        choose(browser, "prepare", "Shell", shell)
        browser.wait(checked + " === 0", "the checklist of another shell")


def second_logger(browser, served):
    """A second logger's file goes beside the first; the reading is kept for the next file of its kind."""
    with open(os.path.join(served.project, "tests/data/demo/clear_group_1.csv"), encoding="utf-8") as file:
        log = file.read()
    go(browser, "log")
    choose(browser, "log", "It is the log of", "")
    drop(browser, "door side.csv", log)
    browser.wait("return document.querySelector('#view-log').textContent.includes('door side.csv')", "the first log")
    browser.run(
        """const list = new DataTransfer();
        list.items.add(new File([arguments[0]], 'lee side.csv', { type: 'text/csv' }));
        const input = document.querySelector('#view-log .outcome input[type=file]');
        input.files = list.files;
        input.dispatchEvent(new Event('change', { bubbles: true }));""",
        log,
    )
    browser.wait("return /lee side.csv: \\d+ s .* found by/.test(document.querySelector('#view-log').textContent)", "the second log")
    rows = browser.run("return [...document.querySelectorAll('#view-log tbody th')].filter((one) => one.textContent.includes('(second)')).length")
    check(rows > 5, f"{rows} channels of the second logger are shown")
    browser.run(
        """const field = [...document.querySelectorAll('#view-log .field')].find((one) => one.textContent.startsWith('Keep this reading'));
        const input = field.querySelector('input');
        input.value = 'our logger';
        input.dispatchEvent(new Event('change', { bubbles: true }));"""
    )
    press(browser, "log", "Keep in the book")
    browser.wait("return location.hash.startsWith('#bakes/')", "the kept log")
    go(browser, "log")
    browser.wait("return document.querySelector('#view-log').textContent.includes('Read it as')", "the kept reading")
    choose(browser, "log", "Read it as", "our logger")


def start_learning(browser):
    """From bake 2."""
    go(browser, "tune")
    browser.wait("return document.querySelector('#view-tune input[value=learn]')", "the logged bakes")
    browser.run("[...document.querySelectorAll('#view-tune input[name=use-2]')].find((one) => one.value === 'learn').click()")
    browser.wait("return !document.querySelector('#view-tune button.main').disabled", "the bakes and what to learn")
    press(browser, "tune", "Learn from these bakes")


def wait_for_lesson(browser):
    browser.wait("return document.querySelector('#view-tune .answers .headline')", "what was learned")


def learn(browser, _):
    """A bake teaches the shell; the work can be stopped; what was learned is kept and prepared with."""
    start_learning(browser)
    browser.wait("return document.querySelector('#view-tune progress')", "the progress")
    press(browser, "tune", "Stop")
    browser.wait("return document.querySelector('#view-tune').textContent.includes('Stopped')", "the end of the work")
    # Films alone: less to keep.
    browser.run("[...document.querySelectorAll('#view-tune fieldset input[type=checkbox]')].filter((one) => one.checked && one.value !== 'film').forEach((one) => one.click())")
    press(browser, "tune", "Learn from these bakes")
    wait_for_lesson(browser)
    text = browser.run("return document.querySelector('#view-tune').textContent")
    check("held out" in text and "film of group" in text, "the result says too little")
    press(browser, "tune", "Keep in the book")
    browser.wait("return document.querySelector('#view-tune').textContent.includes('Tuned in the book')", "the tuned versions")
    drawn = browser.run("return bakewright.timings.length")
    browser.run("document.querySelector('#view-tune button[aria-label$=\"shell library_van_tuned\"]').click()")
    browser.wait("return bakewright.timings.length > arguments[0]", "a bake of the tuned shell", drawn)
    chosen = browser.run("return document.querySelector('#view-prepare select').value")
    check(chosen == "library_van_tuned", f"{chosen} is prepared, not the tuned shell")
    choose(browser, "prepare", "Shell", "library_van")


def stages(browser, _):
    """Stages stand under the chart; a second hold joins them; the chart reads as a table."""
    go(browser, "prepare")
    browser.wait("return document.querySelectorAll('#view-prepare .stage-strip .stage').length >= 4", "the stages under the chart")
    holds = "return document.querySelectorAll('#view-prepare .stage-strip .hold').length"
    check(browser.run(holds) == 1, "not one hold")
    browser.run("""document.querySelector('#view-prepare .chart-table').open = true;
    const [temperature, minutes] = [...document.querySelectorAll('#view-prepare details')].find((one) => one.textContent.includes('Second hold')).querySelectorAll('.row')[1].querySelectorAll('input');
    temperature.value = 50; minutes.value = 25;
    minutes.dispatchEvent(new Event('change'));""")
    browser.wait(holds.replace("return ", "return 2 === "), "the second hold")
    browser.wait("return document.querySelectorAll('#view-prepare .chart-table tbody tr').length >= 8", "the chart as a table")
    browser.run("""document.querySelector('#view-prepare .chart-table').open = false;
    document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, bubbles: true }));""")
    browser.wait(holds.replace("return ", "return 1 === "), "one hold again, undone")


def keep_an_item(browser, _):
    """A search that keeps an item says what has to come out for it, or that it fits."""
    go(browser, "prepare")
    browser.wait("return document.querySelector('#view-prepare .chart canvas')", "the bake")
    has_items = browser.run("""const fold = [...document.querySelectorAll('#view-prepare details')].find((one) => one.textContent.includes('Must stay in'));
    if (!fold) return false;
    fold.open = true;
    const choice = [...fold.querySelectorAll('select')].pop();
    choice.selectedIndex = 1;
    choice.dispatchEvent(new Event('change', { bubbles: true }));
    [...fold.querySelectorAll('button')].pop().click();
    return true;""")
    if has_items:
        browser.wait("return /Shortest that works|No cycle works/.test(document.querySelector('#view-prepare').textContent)", "the cycle that keeps it")
    browser.run("document.querySelectorAll('#view-prepare details').forEach((one) => { one.open = false; });")


def unit_question(browser, _):
    """A log that says no unit is asked about with both readings, and one press answers."""
    go(browser, "log")
    rows = "".join(f"{10 * i},{70 + i % 60},{68 + i % 50}\n" for i in range(120))
    drop(browser, "bare.csv", "Time (s),Air,Roof\n" + rows)
    browser.wait("return document.getElementById('problems').textContent.includes('as °F it starts at')", "both readings of the file")
    press(browser, "log", "all °F")
    browser.wait("return document.querySelector('#view-log .chart canvas')", "the log, read")
    browser.wait("return !document.getElementById('problems').textContent", "no question to be left")


def by_verdict(browser, _):
    """Bakes are found by their verdict, and an unfinished one leads to its finishing."""
    go(browser, "bakes/2")
    browser.wait("return document.querySelector('#view-bakes .names li')", "the list")
    choose(browser, "bakes", "Verdict", "GOOD")
    browser.wait("return !document.querySelector('#view-bakes progress')", "the verdicts")
    words = browser.run("return [...document.querySelectorAll('#view-bakes .names .word')].map((one) => one.textContent)")
    check(all(word == "GOOD" for word in words), f"the list of GOOD bakes holds {words}")
    choose(browser, "bakes", "Verdict", "")
    browser.wait("return document.querySelector('#view-bakes .names li')", "all bakes again")
    go(browser, "prepare/finish/2")
    browser.wait("return document.querySelector('#view-prepare').textContent.includes('What bake 2 gave counts')", "the bake that is finished")
    browser.wait("return document.querySelector('#view-prepare .chart canvas')", "the rest of the bake")
    browser.run("""document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, bubbles: true }));""")
    browser.wait("return !document.querySelector('#view-prepare').textContent.includes('What bake 2 gave counts')", "the whole bake again, undone")
    browser.run("document.querySelectorAll('#view-prepare details').forEach((one) => { one.open = false; });")


def cards(browser, served):
    """The bake card is one sheet, of Letter and of A4, with five stages and with nine."""
    for more in ([], ["--step", "45 degC, 20 min", "--then", "55 degC, 20 min"]):
        served.run("plan", "--shell", "library_van_fitted", "--booth", "stirred_insulated", "--coating", "clear_low_bake", "--set-point", "60 to 64 degC",
                   "--confidence", "none", "--card", "card.html", "--start", "2027-03-01 16:20", *more)
        browser.open(f"file://{served.folder}/card.html")
        rows = browser.run("return document.querySelectorAll('.cycle tbody tr').length")
        check(rows == (5 if not more else 9), f"the card has {rows} stages")
        for paper, size in {"Letter": (21.59, 27.94), "A4": (21.0, 29.7)}.items():
            sheets = pages(browser.print_to_pdf(*size))
            check(sheets == 1, f"the card of {rows} stages takes {sheets} sheets of {paper}")
    enter(browser, served)


SHOP_WORK = [bands, titles, stages, unit_question, by_verdict, tones, busy, card_link, kept_card, other_shell, second_logger, learn]
