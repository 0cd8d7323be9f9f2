# SPDX-License-Identifier: Apache-2.0
"""A bake is watched on the page while the recorder, another program, writes it into the same book."""

import contextlib
import os
import signal
import subprocess
import time

from page_steps import check, go

NUMBER = "document.querySelector('#view-live .live-number').textContent"
LEAD = "document.querySelector('#view-live .live-lead').textContent"
PHASE = "document.querySelector('#view-live .live-parts p').textContent"


@contextlib.contextmanager
def recorded(served, speed):
    """Bake 2 as if it came now, so many times as fast, until the with statement ends."""
    words = ["record", "--replay", "2", "--speed", str(speed), "--shell", "library_van", "--booth", "stirred_insulated", "--coating", "clear_low_bake", "--cycle", "clear_60"]
    recorder = subprocess.Popen([served.program, *words], env=served.environment, cwd=served.folder, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    try:
        yield recorder
    finally:
        recorder.send_signal(signal.SIGTERM)
        _, said = recorder.communicate(timeout=120)
        check(recorder.returncode in (0, 1), f"the recorder ended with {recorder.returncode}: {said}")


def dark_by_choice(browser):
    """Dark from 18:00 to 6:00 or by choice, in the view across the room alone."""
    paper = "return getComputedStyle(document.documentElement).getPropertyValue('--paper').trim()"
    press = "[...document.querySelectorAll('#view-live .live-foot button')].find((one) => one.textContent === 'Dark').click()"
    is_night = browser.run("const hour = new Date().getHours(); return hour >= 18 || hour < 6")
    check((browser.run(paper) == "#171b21") == is_night, f"the view is {browser.run(paper)} at night: {is_night}")
    browser.run(press)
    check((browser.run(paper) == "#171b21") != is_night, "the choice of a tone changes nothing")
    browser.run("document.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true }))")
    check(browser.run(paper) == "#ffffff", "with the bar of views the page is not as the browser has it")
    browser.run("document.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true }))")


def live(browser, served):
    """A bake is watched while it is recorded: minutes to heat off, each zone's own, GOOD in the end; a silent recorder is told."""
    go(browser, "live")
    browser.wait("return document.querySelector('#view-live').textContent.includes('Nothing is being recorded')", "that nothing is recorded")
    with recorded(served, 90) as recorder:
        browser.wait(f"return /\\d/.test({NUMBER})", "the minutes to heat off")
        check(browser.run(f"return {LEAD}") == "Heat off in", "the number is not led in")
        check(browser.run("return getComputedStyle(document.querySelector('header.top')).display") == "none", "the bar of views is in the way")
        minutes = browser.run("return [...document.querySelectorAll('#view-live .drawn-minutes')].map((one) => one.textContent)")
        check(len(minutes) > 5 and all(one.isdigit() or ":" in one or one == "–" for one in minutes), f"the parts say {minutes}")
        first = browser.run(f"return {NUMBER}")
        browser.wait(f"return {NUMBER} !== arguments[0]", "the number to count down", first)
        browser.wait(f"return {PHASE}.startsWith('Hold')", "the hold to be recognised")
        check(browser.run("return document.querySelector('#view-live .chart-names .now') !== null"), "the chart does not say where now is")
        check(browser.run("return document.querySelectorAll('#view-live .chart-names .dot').length") > 3, "nothing is dotted as measured")
        browser.run("document.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true }))")
        check(browser.run("return getComputedStyle(document.querySelector('header.top')).display") != "none", "Esc does not bring the bar of views")
        browser.run("document.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true }))")
        dark_by_choice(browser)
        browser.wait("return [...document.querySelectorAll('#view-live .drawn-word')].length > 3", "zones to be good")
        recorder.send_signal(signal.SIGSTOP)
        try:
            browser.wait(f"return {LEAD} === 'No reading since' && {NUMBER} === '--'", "that no reading comes")
        finally:
            recorder.send_signal(signal.SIGCONT)
        over = "document.querySelector('#view-live').textContent.includes('Nothing is being recorded')"
        browser.wait(f"return {LEAD} !== 'No reading since' || {over}", "readings again")
    browser.wait("return document.querySelector('#view-live').textContent.includes('Nothing is being recorded')", "the end of the recording")
    go(browser, "today")


def live_pictures(browser, served, folder, screen):
    """In the hold, on a laptop and on a tablet."""
    go(browser, "live")
    browser.wait("return document.querySelector('#view-live').textContent.includes('Nothing is being recorded')", "the last recording to be over")
    with recorded(served, 60):
        browser.wait(f"return document.querySelector('#view-live .live:not([hidden])') && {PHASE}.startsWith('Hold')", "the hold")
        time.sleep(20)
        for name, width, height in (("live", 1280, 800), ("live-820", 820, 1180)):
            screen(browser, width, height)
            time.sleep(1)
            browser.picture(os.path.join(folder, f"{name}.png"))
        browser.command("Emulation.clearDeviceMetricsOverride")
