# SPDX-License-Identifier: Apache-2.0
"""What tests of the page do again and again."""

WORD = "return (document.querySelector('#view-prepare .answers .word')||{}).textContent"
DRAWN = "return bakewright.timings.length"


class Failed(Exception):
    pass


def check(holds, what):
    if not holds:
        raise Failed(what)


def enter(browser, served):
    """Opens the page by the address that was printed; once it is open in this browser, again by the same."""
    browser.open(served.address)
    browser.wait("return document.querySelector('nav')", "the page behind its opening")


def go(browser, where):
    browser.run("location.hash = arguments[0]", where)
    view = where.split("/")[0]
    browser.wait("return !document.getElementById('view-' + arguments[0]).hidden", f"the view {view}", view)


def choose(browser, view, label, value):
    """Picks an option of a labelled choice, as a user's change does."""
    found = browser.run(
        """const field = [...document.querySelectorAll('#view-' + arguments[0] + ' .field')].find((one) => one.textContent.startsWith(arguments[1]));
        const select = field && field.querySelector('select');
        if (!select) return false;
        select.value = arguments[2];
        select.dispatchEvent(new Event('change', { bubbles: true }));
        return select.value === arguments[2];""",
        view, label, value,
    )
    check(found, f"{label} cannot be {value}")


def set_number(browser, identity, value):
    drawn = browser.run(DRAWN)
    browser.run(
        """const input = document.getElementById(arguments[0]);
        input.value = arguments[1];
        input.dispatchEvent(new Event('change', { bubbles: true }));""",
        identity, value,
    )
    browser.wait(f"return bakewright.timings.length > {drawn}", "the answer to a moved control")


def press(browser, view, words):
    """A button by what stands on it."""
    found = browser.run(
        """const button = [...document.querySelectorAll('#view-' + arguments[0] + ' button')].find((one) => one.textContent === arguments[1]);
        if (!button || button.disabled) return false;
        button.click();
        return true;""",
        view, words,
    )
    check(found, f"there is no button '{words}' that can be pressed")


def drop(browser, name, text):
    """A file into the view that brings in a log."""
    browser.run(
        """const list = new DataTransfer();
        list.items.add(new File([arguments[1]], arguments[0], { type: 'text/csv' }));
        document.querySelector('.drop').dispatchEvent(new DragEvent('drop', { dataTransfer: list, bubbles: true, cancelable: true }));""",
        name, text,
    )


def pages(pdf):
    """How many a PDF has."""
    return pdf.count(b"/Type /Page\n")
