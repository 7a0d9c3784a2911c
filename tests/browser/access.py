"""Contrast of text, names of controls and the way of the Tab key, on the page as Chromium lays it out.

Limits of contrast: WCAG 2.2 (W3C Recommendation), success criterion 1.4.3: 4.5, large text 3; relative luminance
and contrast ratio by the definitions in its glossary. Chromium no longer offers Audits.checkContrast; it still
works out what lies behind a text (CSS.getBackgroundColors).
"""
import re

TEXTS = """
  const visible = (e) => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length > 0;
  const isRim = (e) => e instanceof SVGElement && e.getAttribute('stroke-linejoin') === 'round' && e.ariaHidden === 'true';
  // A text of a figure with a rim has it as its ground: Chromium does not see shapes behind texts.
  // One on a sign has the sign's colour.
  const rim = (e) => {
    const before = e instanceof SVGElement && e.previousElementSibling;
    if (!before) return null;
    if (before.tagName === 'rect' && before.hasAttribute('rx')) return getComputedStyle(before).fill;
    return isRim(before) && before.textContent === e.textContent ? getComputedStyle(before).stroke : null;
  };
  const isRepeated = (e) => e.closest('.numbers tr:nth-child(n+6)');  // rows of figures, looking all alike
  const speaks = (e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
  return [...document.body.querySelectorAll('*')]
    .filter((e) => !['SCRIPT', 'STYLE', 'OPTION'].includes(e.tagName) && speaks(e) && visible(e) && !isRim(e) && !isRepeated(e))
    .map((e) => {
      const style = getComputedStyle(e);
      e.setAttribute('data-probe', '');
      return {colour: e instanceof SVGElement ? style.fill : style.color, rim: rim(e),
              text: e.textContent.trim().slice(0, 40)};
    });
"""

STOPS = """
  const wanted = 'a[href], button:not([disabled]), select, input, summary, [tabindex="0"]';
  return [...document.querySelectorAll(wanted)].filter((e) => e.checkVisibility() && e.getClientRects().length > 0);
"""


def colour(text):
    """(r, g, b, opacity) from rgb() or rgba()."""
    numbers = [float(n) for n in re.findall(r"[\d.]+", text)]
    return (*numbers[:3], numbers[3] if len(numbers) > 3 else 1.0)


def luminance(rgb):
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in rgb)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def ratio(front, back):
    light, dark = sorted((luminance(front), luminance(back)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def over(front, back):
    """Colour of a front that lets some of the back through."""
    return tuple(front[3] * f + (1 - front[3]) * b for f, b in zip(front, back))


def faint_texts(browser):
    """[(contrast, limit, text)] of what is below its limit, and how many texts were looked at."""
    texts = browser.script(TEXTS)
    browser.command("DOM.enable")
    browser.command("CSS.enable")
    root = browser.command("DOM.getDocument", depth=0)["root"]["nodeId"]
    nodes = browser.command("DOM.querySelectorAll", nodeId=root, selector="[data-probe]")["nodeIds"]
    assert len(nodes) == len(texts)
    faint = []
    for node, text in zip(nodes, texts):
        behind = browser.command("CSS.getBackgroundColors", nodeId=node)
        behind_it = [text["rim"]] if text["rim"] else behind.get("backgroundColors", [])
        backs = [colour(c) for c in behind_it] or [(*page_ground(browser), 1.0)]
        size = float(behind["computedFontSize"].removesuffix("px"))
        large = size >= 24 or (size >= 18.66 and float(behind["computedFontWeight"]) >= 700)
        limit = 3.0 if large else 4.5
        lowest = min(ratio(over(colour(text["colour"]), back[:3]), back[:3]) for back in backs)
        if not lowest >= limit:
            faint.append((round(lowest, 2), limit, text["text"]))
    browser.script("document.querySelectorAll('[data-probe]').forEach((e) => e.removeAttribute('data-probe'))")
    return faint, len(texts)


def page_ground(browser):
    return colour(browser.script("return getComputedStyle(document.body).backgroundColor"))[:3]


def nameless(browser):
    """Roles of what can be focused and has no name in Chromium's accessibility tree, and how many have one."""
    nodes = browser.command("Accessibility.getFullAXTree")["nodes"]
    without, named = [], 0
    for node in nodes:
        focusable = any(p["name"] == "focusable" and p["value"]["value"] for p in node.get("properties", []))
        role = node.get("role", {}).get("value", "")
        if not focusable or node.get("ignored") or role == "RootWebArea":
            continue
        if node.get("name", {}).get("value", "").strip():
            named += 1
        else:
            without.append(role)
    return without, named


def tab_way(browser):
    """Controls of the page in its own order, and the elements that the Tab key visits from its start."""
    controls = browser.script(STOPS)
    browser.script("document.activeElement.blur(); window.scrollTo(0, 0)")
    visited = []
    for _ in range(len(controls) + 30):
        browser.press("Tab", 9)
        element = browser.script("return document.activeElement === document.body ? null : document.activeElement")
        if element is None or element in visited:
            break
        visited.append(element)
    return controls, visited
