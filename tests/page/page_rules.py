# SPDX-License-Identifier: Apache-2.0
"""What WCAG 2.2 asks of a page and a script can tell: contrast of text, and names of what can be used."""

# Contrast of the text of every element that is seen, against the nearest background that is painted.
CONTRAST = r"""
const channel = (value) => { value /= 255; return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4; };
const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
const parts = (colour) => { const found = colour.match(/[\d.]+/g).map(Number); return found.length === 3 ? [...found, 1] : found; };
function behind(element) {
  for (let one = element; one; one = one.parentElement) {
    const colour = parts(getComputedStyle(one).backgroundColor);
    if (colour[3] > 0.99) return colour;
  }
  return [255, 255, 255, 1];
}
const wrong = [];
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walker.nextNode()) {
  const text = walker.currentNode.textContent.trim();
  const element = walker.currentNode.parentElement;
  if (!text || !element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
  if (element.closest('.unseen, option, script, style, title, :disabled') || element.closest('svg')) continue;
  const style = getComputedStyle(element);
  const [one, other] = [luminance(parts(style.color)), luminance(behind(element))].sort((a, b) => b - a);
  const ratio = (one + 0.05) / (other + 0.05);
  const size = parseFloat(style.fontSize);
  const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
  if (ratio < (large ? 3 : 4.5)) wrong.push(text.slice(0, 30) + ' ' + ratio.toFixed(2));
}
return wrong;
"""

USED = {"button", "link", "textbox", "combobox", "slider", "spinbutton", "checkbox", "radio", "image", "img", "region", "navigation", "form",
        "searchbox", "DateTime", "InputTime", "progressbar", "DisclosureTriangle"}


def low_contrasts(browser):
    """Source: WCAG 2.2, 1.4.3 and the definition of relative luminance."""
    return browser.run(CONTRAST)


def unnamed(browser):
    """Source: WCAG 2.2, 4.1.2; the names are those that the browser tells a screen reader."""
    wrong = []
    for node in browser.command("Accessibility.getFullAXTree")["nodes"]:
        role = node.get("role", {}).get("value")
        if node.get("ignored") or role not in USED:
            continue
        if not (node.get("name", {}).get("value") or "").strip():
            wrong.append(role)
    return wrong
