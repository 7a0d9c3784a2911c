#!/usr/bin/python3
"""The report page in a browser: what a reader sees, hovers, presses, prints and downloads, against results.h5.

usage: page.py PROGRAM CASES        runs nickel-20mm.yaml with a hostile title and looks at its page
       page.py --folder DIR         looks at DIR/report.html, made from DIR/results.h5
"""
import csv
import json
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import h5py
import numpy as np
from PIL import Image

import access
from browser import Browser

HOSTILE = "<script>document.title='hacked'</script><b>x</b>"
LARGEST_PAGE = 3_000_000  # bytes, for a default run


def check(condition, what):
    if not condition:
        sys.exit(f"FAILED: {what}")


def magnitude(name):
    return lambda file: np.hypot(file[f"fields/{name}"][:, :, 0], file[f"fields/{name}"][:, :, 1])


# Fields of the page in the unit shown, from what the file holds in SI.
FIELDS = {
    "temperature": lambda file: file["fields/temperature"][:] - 273.15,
    "relative_density": lambda file: file["fields/relative_density"][:] * 100,
    "current_density": lambda file: magnitude("current_density")(file) * 1e-6,
    "joule_heat": lambda file: file["fields/joule_heat"][:] * 1e-6,
    "heat_flux": lambda file: magnitude("heat_flux")(file) * 1e-4,
    "electric_potential": lambda file: file["fields/electric_potential"][:],
}


class Results:
    """Cells and fields as HDF5 holds them."""

    def __init__(self, path):
        with h5py.File(path) as file:
            self.time = file["fields/time"][:]
            self.part = file["mesh/part"][:]
            self.r = 0.5 * (file["mesh/r_low"][:] + file["mesh/r_high"][:])
            self.width = file["mesh/r_high"][:] - file["mesh/r_low"][:]
            self.z_low, self.z_high = file["fields/z_low"][:], file["fields/z_high"][:]
            self.history = file["history/time"][:]
            self.fields = {key: read(file) for key, read in FIELDS.items()}

    def z(self, frame):
        return 0.5 * (self.z_low[frame] + self.z_high[frame])

    def middles(self, frame, pixel):
        """Of each part the cell nearest its middle, where it is larger than two pixels (m each)."""
        chosen = []
        for number in np.unique(self.part):
            own = np.flatnonzero(self.part == number)
            away = np.hypot(self.r[own] - self.r[own].mean(), self.z(frame)[own] - self.z(frame)[own].mean())
            cell = own[np.argmin(away)]
            if min(self.width[cell], self.z_high[frame][cell] - self.z_low[frame][cell]) > 2 * pixel:
                chosen.append(cell)
        return chosen


def page_data(browser):
    return browser.script("return JSON.parse(document.getElementById('data').textContent)")


def choose_field(browser, number):
    browser.script("""const field = document.getElementById('field'); field.selectedIndex = arguments[0];
                      field.dispatchEvent(new Event('change'));""", number)


def choose_time(browser, frame):
    """By the keyboard, as a reader would."""
    browser.script("document.getElementById('time').focus()")
    browser.press("Home", 36)
    for _ in range(frame):
        browser.press("ArrowRight", 39)


def map_place(browser, r, z):
    """Point of the map in the window, and on the canvas in CSS pixels."""
    return browser.script("""
        const map = document.getElementById('map');
        if (map.getBoundingClientRect().top < 0 || map.getBoundingClientRect().bottom > innerHeight)
          map.scrollIntoView({block: 'center', behavior: 'instant'});
        const box = map.getBoundingClientRect(), data = map.dataset;
        const x = Number(data.originX) + arguments[0] * Number(data.scale);
        const y = Number(data.originY) - arguments[1] * Number(data.scale);
        return {window: [box.left + x, box.top + y], canvas: [x, y]};""", float(r), float(z))


def reading(browser):
    return browser.script("const r = document.getElementById('reading'); return {...r.dataset, text: r.textContent}")


def last_number(text):
    """Value and half a unit of the last digit of the last number of a text."""
    number = re.findall(r"-?\d+\.?\d*(?:e[-+]?\d+)?", text.replace(",", "."))[-1]
    digits, _, power = number.partition("e")
    decimals = len(digits.partition(".")[2])
    return float(number), 0.5 * 10.0 ** (int(power or 0) - decimals)


def text_of_value(text, unit):
    return text.removesuffix(unit) if unit != "1" else text


def is_quiet(browser, page):
    asked = browser.requests()
    check(asked == [page.resolve().as_uri()], f"the page asks for nothing but itself, yet {asked}")
    complaints = browser.complaints()
    check(not complaints, f"the console is silent, yet {complaints}")


def proves_quiet(browser, folder):
    loud = folder / "loud.html"
    loud.write_text("<meta http-equiv=Content-Security-Policy content=\"default-src 'none'\"><p style='color:red'>x")
    browser.open(loud)
    check(browser.complaints(), "a style attribute that the policy forbids is found in the console")
    loud.write_text("<img src='http://127.0.0.1:9/x.png'>")
    browser.open(loud)
    check(any("127.0.0.1" in url for url in browser.requests()), "a request to elsewhere is found in the log")
    browser.complaints()


def title_is_text(browser, title):
    check(browser.driver.title == " ".join(title.split()), f"the page is titled {title!r}")
    check(browser.script("return document.querySelector('h1').textContent.trim()") == title,
          "the heading shows the title letter by letter")
    check(browser.script("return document.querySelectorAll('h1 b, h1 script').length") == 0,
          "nothing of the title became markup")


def words_are_there(browser, scripts):
    used = set(re.findall(r'word\("(\w+)"\)', scripts)) | {f"along_{axis}" for axis in "rz"}
    missing = used - set(page_data(browser)["words"])
    check(not missing, f"every word the script shows is in the page, yet {sorted(missing)} are not")


def answer_comes_first(browser):
    bottoms = browser.script("""
        const sentence = document.querySelector('#answer p:first-of-type');
        const number = [...document.querySelectorAll('#answer table td')].find((c) => /\\d/.test(c.textContent));
        return [sentence, number].map((e) => e.getBoundingClientRect().bottom + scrollY)""")
    check(max(bottoms) <= 400, f"sentence and first number stand in the first 400 pixels, yet end at {bottoms}")


def fits_the_phone(browser):
    widest = browser.script("""
        const within = (e) => e.closest('div.wide') && !e.matches('div.wide');
        const over = [...document.body.querySelectorAll('*')]
          .filter((e) => !within(e) && e.getBoundingClientRect().right > innerWidth + 0.5);
        return [document.documentElement.scrollWidth, innerWidth, 
                over.slice(0, 3).map((e) => e.outerHTML.slice(0, 99))]""")
    check(widest[0] <= 390 and widest[1] == 390 and not widest[2], f"nothing is wider than a phone, yet {widest}")


def map_shows_results(browser, results):
    """Cells under the pointer: value, text and colour, for fields, times and parts, and close to the powder."""
    browser.script("const c = document.getElementById('contours'); if (c.checked) c.click();")
    fields = page_data(browser)["fields"]
    whole = fields_show_results(browser, results, fields)
    browser.script("document.getElementById('zoom').click()")
    close = fields_show_results(browser, results, fields[:1])
    browser.script("document.getElementById('zoom').click()")
    check(whole > 20 and close > 3, f"many cells were looked at: {whole}, {close}")
    return whole + close


def fields_show_results(browser, results, fields):
    data = page_data(browser)
    looked = 0
    for number, field in enumerate(fields):
        choose_field(browser, number)
        known = np.isin(results.part, field["parts"]) if "parts" in field else np.full(results.part.shape, True)
        truth = results.fields[field["key"]]
        low, high = truth[:, known].min(), truth[:, known].max()
        for shown, frame in enumerate(data["frames"]):
            stored = int(np.argmin(abs(results.time - frame["time"])))
            check(abs(results.time[stored] - frame["time"]) < 1e-6, f"the file holds the moment {frame['time']} s")
            choose_time(browser, shown)
            now = browser.script("return {...document.getElementById('map').dataset}")
            check(now["frame"] == str(shown) and now["field"] == field["key"], f"the map shows what was chosen: {now}")
            for cell in results.middles(stored, 1 / float(now["scale"])):
                if known[cell] and in_view(now, results.z(stored)[cell]):
                    cell_is_shown(browser, field, data, truth[stored][cell], (low, high),
                                  (results.r[cell], results.z(stored)[cell]))
                    looked += 1
    return looked


def in_view(now, z):
    """Whether a height is drawn on the map."""
    return float(now["top"]) < float(now["originY"]) - float(now["scale"]) * z < float(now["bottom"])


def on_scale(value, low, high, log):
    """0 to 1; a logarithmic scale covers five powers of ten at most."""
    if not log:
        return (value - low) / (high - low)
    floor = max(low, 1e-5 * high)
    return np.log(max(value, floor) / floor) / np.log(high / floor)


def cell_is_shown(browser, field, data, value, extent, place):
    low, high = extent
    at = map_place(browser, *place)
    browser.mouse("mouseMoved", *at["window"])
    read = reading(browser)
    near = 1e-6 * (high - low) + 1e-12 * abs(value)
    check(abs(float(read["value"]) - value) <= near, f"{field['key']} at {place}: {value} in the file, page {read}")
    shown, half = last_number(text_of_value(read["text"], field["unit"]))
    check(abs(shown - value) <= 1.001 * half + near, f"{field['key']} at {place}: {value} in the file, text {read}")
    if not high > low:
        return
    browser.mouse("mouseMoved", 1, 1)  # the frame around the cell would cover a small one
    dot = browser.script("""const map = document.getElementById('map');
        const [x, y] = [...arguments].map(Math.floor);
        return [...map.getContext('2d').getImageData(x, y, 1, 1).data];""",
                         *at["canvas"])
    table = data["tables"][field["table"]]
    middle = round(255 * on_scale(value, low, high, field.get("log")))
    around = range(max(0, middle - 1), min(256, middle + 2))
    allowed = [[int(table[k][i : i + 2], 16) for i in (1, 3, 5)] for k in around]
    check(dot[:3] in allowed or covered(browser, at), f"{field['key']} at {place}: dot {dot}, table {allowed}")


def covered(browser, at):
    """By the cross of the chosen cell."""
    cross = browser.script("""const map = document.getElementById('map').dataset;
        return [Number(map.chosenX), Number(map.chosenY)]""")
    return abs(cross[0] - at["canvas"][0]) < 11 and abs(cross[1] - at["canvas"][1]) < 11


def time_changes_the_map(browser):
    browser.script("document.getElementById('field').selectedIndex = 0;")
    choose_field(browser, 0)
    pictures = set()
    frames = len(page_data(browser)["frames"])
    for frame in range(frames):
        choose_time(browser, frame)
        pictures.add(browser.script("return document.getElementById('map').toDataURL()"))
    check(len(pictures) == frames, f"every one of {frames} moments has a picture of its own, yet {len(pictures)}")


def map_by_keys(browser):
    browser.script("document.getElementById('map').focus()")
    before = browser.script("return document.getElementById('along-r-text').textContent")
    first = reading(browser)
    browser.press("ArrowUp", 38)
    second = reading(browser)
    check(second["cell"] != first["cell"], "an arrow key moves to the next cell")
    browser.press("Enter", 13)
    after = browser.script("return document.getElementById('along-r-text').textContent")
    check(after != before, "Enter chooses the cell the curves run through")


def charts_by_keys(browser):
    def rows():
        return browser.script("""return [...document.querySelectorAll('#history .plot')]
            .map((p) => Number(p.ariaValueNow))""")

    last = len(page_data(browser)["history"]["time"]) - 1
    browser.script("document.querySelector('#history .plot').focus()")
    for key, code, shift, row in [("Home", 36, False, 0), ("ArrowRight", 39, False, 1), ("ArrowRight", 39, True, 11),
                                  ("ArrowLeft", 37, False, 10), ("End", 35, False, last)]:
        text = browser.script("return document.getElementById('cursor').textContent")
        browser.press(key, code, shift)
        check(set(rows()) == {row}, f"{key} moves the cursor of every chart to row {row}, yet {rows()}")
        check(browser.script("return document.getElementById('cursor').textContent") != text, "and the text tells it")


def charts_by_finger(browser):
    box = browser.script("""const plot = document.querySelector('#history .plot');
        plot.scrollIntoView({block: 'center', behavior: 'instant'});
        const b = plot.getBoundingClientRect(); return [b.left, b.top, b.width, b.height]""")
    told = set()
    for share in (0.3, 0.5, 0.7):
        point = {"x": box[0] + share * box[2], "y": box[1] + 0.5 * box[3]}
        browser.command("Input.dispatchTouchEvent", type="touchStart", touchPoints=[point])
        browser.command("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        told.add(browser.script("return document.querySelector('#history .plot').ariaValueText"))
    check(len(told) == 3, f"a finger moves the cursor, yet the chart tells {told}")


def charts_zoom_together(browser):
    def labels():
        return browser.script("""return [...document.querySelectorAll('#history .plot')]
            .map((p) => [...p.querySelectorAll('.dygraph-axis-label-x')].map((l) => l.textContent).join(' '))""")

    whole = labels()
    box = browser.script("""const plot = document.querySelector('#history .plot');
        plot.scrollIntoView({block: 'center', behavior: 'instant'});
        const b = plot.getBoundingClientRect(); return [b.left, b.top, b.width, b.height]""")
    y = box[1] + 0.5 * box[3]
    browser.mouse("mouseMoved", box[0] + 0.3 * box[2], y)
    browser.mouse("mousePressed", box[0] + 0.3 * box[2], y, held=True)
    browser.mouse("mouseMoved", box[0] + 0.5 * box[2], y, held=True)
    browser.mouse("mouseReleased", box[0] + 0.5 * box[2], y)
    check(all(a != b for a, b in zip(whole, labels())), "dragging shows less of the time, in all charts")
    browser.script("document.getElementById('reset-history').click()")
    check(labels() == whole, "the button shows the whole run again")


def downloads(browser, folder, results):
    def rows(kind):
        browser.script("document.querySelector(`button.csv[data-csv=\"${arguments[0]}\"]`).click()", kind)
        path = folder / f"{kind}.csv"
        for _ in range(100):
            if path.exists():
                break
            time.sleep(0.05)
        check(path.exists(), f"{kind}.csv is saved")
        check(path.read_bytes().count(b"\n") == path.read_bytes().count(b"\r\n"), "lines end as RFC 4180 asks")
        with path.open(newline="") as file:
            return list(csv.reader(file))

    choose_field(browser, 0)
    choose_time(browser, len(results.time) - 1)
    field = rows("field")
    check(len(field) == len(results.part) + 1, "field.csv has a line for every cell")
    values = np.array([float(row[5]) for row in field[1:]])
    truth = results.fields["temperature"]
    check(np.abs(values - truth[-1]).max() <= 1e-6 * np.ptp(truth), "field.csv holds the temperatures of the file")
    history = rows("history")
    check(np.array_equal([float(row[0]) for row in history[1:]], results.history), "history.csv holds the file's times")
    for kind in ("along-r", "along-z"):
        check(len(rows(kind)) > 3, f"{kind}.csv has lines")


def is_accessible(browser, folder, page):
    doubtful = folder / "doubtful.html"
    doubtful.write_text("<body style='background:#fff'><p style='color:#8a8a8a'>faint<p style='color:#595959'>firm"
                        "<button></button><button>named</button>")
    browser.open(doubtful)
    faint, looked = access.faint_texts(browser)
    check([text for _, _, text in faint] == ["faint"] and looked == 3, f"a faint text is found, and only that: {faint}")
    check(access.nameless(browser) == (["button"], 1), "a button without a name is found")
    for scheme in ("light", "dark"):
        browser.open(page, scheme=scheme)
        browser.script("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        faint, looked = access.faint_texts(browser)
        check(not faint, f"every text stands out from its ground ({scheme}), yet {faint[:5]}")
        check(looked > 50, f"texts were looked at: {looked}")
        print(f"contrast, {scheme}: {looked} texts")
    without, named = access.nameless(browser)
    check(not without and named > 10, f"all controls have names, yet {without} have none ({named} have)")
    controls, visited = access.tab_way(browser)
    check(all(control in visited for control in controls), "the Tab key reaches every control")
    order = browser.script("""return arguments[0].every((e, k, all) =>
        k === 0 || (all[k - 1].compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING))""", visited)
    check(order, "the Tab key follows the order of the page")
    print(f"keyboard: {named} names, {len(visited)} stops")


def prints(browser, folder, page):
    """All headings, light paper from a dark screen, and charts that are not empty."""
    browser.open(page, scheme="dark")
    headings = browser.script("return [...document.querySelectorAll('h1, h2')].map((h) => h.textContent.trim())")
    browser.print_pdf(folder / "page.pdf")
    text = subprocess.run(["pdftotext", folder / "page.pdf", "-"], check=True, capture_output=True, text=True).stdout
    flat = " ".join(text.split())
    missing = [h for h in headings if " ".join(h.split()) not in flat]
    check(not missing and len(headings) > 10, f"every heading is on paper, yet {missing}")
    subprocess.run(["pdftoppm", "-r", "60", "-png", folder / "page.pdf", folder / "paper"], check=True)
    pages = [np.asarray(Image.open(path).convert("RGB")).astype(int) for path in sorted(folder.glob("paper-*.png"))]
    check(all((p[3, 3] == 255).all() for p in pages), "paper is white")
    history = page_data(browser)["history"]
    span = history["time"][-1] - history["time"][0]
    share = sum(hold["end"] - hold["start"] for hold in history["holds"]) / span
    # A chart in a row of two is laid out 270 by 150 pixels at least, of 96 to the inch; grid and lines cover some.
    expected = 0.6 * len(history["charts"]) * share * 270 * 150 * (60 / 96) ** 2
    shaded = sum((np.abs(p - [0xE9, 0xF1, 0xF2]).max(axis=2) <= 2).sum() for p in pages)
    check(shaded >= expected > 0, f"the holds are shaded in the charts on paper: {shaded} dots of {expected:.0f}")
    print(f"paper: {len(pages)} pages, holds shaded in {shaded} dots, at least {expected:.0f}")


def inspect(folder):
    page = folder / "report.html"
    results = Results(folder / "results.h5")
    title = json.loads((folder / "summary.json").read_text())["title"]
    check(page.stat().st_size < LARGEST_PAGE, f"the page has {page.stat().st_size} bytes, at most {LARGEST_PAGE}")
    with tempfile.TemporaryDirectory() as name, Browser(name) as browser:
        scratch = Path(name)
        proves_quiet(browser, scratch)
        browser.open(page)
        title_is_text(browser, title)
        words_are_there(browser, page.read_text())
        answer_comes_first(browser)
        time_changes_the_map(browser)
        print(f"map: {map_shows_results(browser, results)} cells as in the file")
        map_by_keys(browser)
        charts_by_keys(browser)
        charts_zoom_together(browser)
        downloads(browser, scratch, results)
        is_quiet(browser, page)
        browser.open(page, width=390)
        answer_comes_first(browser)
        fits_the_phone(browser)
        charts_by_finger(browser)
        is_quiet(browser, page)
        is_accessible(browser, scratch, page)
        prints(browser, scratch, page)


def run_case(program, cases, folder):
    """The nickel disc with a title that would be markup if it were taken for it."""
    copy = folder / "cases"
    shutil.copytree(cases, copy)
    case = copy / "nickel-20mm.yaml"
    text, found = re.subn(r"(?m)^title:.*$", lambda _: f'title: "{HOSTILE}"', case.read_text(), count=1)
    check(found == 1, "the case has a title to change")
    case.write_text(text)
    subprocess.run([program, "run", case, "--out", folder / "out", "--quiet"], check=True, stdout=subprocess.DEVNULL)
    return folder / "out"


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    if sys.argv[1] == "--folder":
        inspect(Path(sys.argv[2]))
        return
    with tempfile.TemporaryDirectory() as name:
        inspect(run_case(sys.argv[1], Path(sys.argv[2]), Path(name)))


if __name__ == "__main__":
    main()
