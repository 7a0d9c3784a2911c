#!/usr/bin/python3
"""The pages of `vary` and `bound` in a browser: quiet, readable in both schemes, no wider than a telephone, CSV and paper.

usage: study_pages.py PROGRAM CASES        varies and bounds heated-rod.yaml
"""
import csv
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import access
from browser import Browser

PLAN = """format: 1
title: "<script>document.title='hacked'</script>"
case: {case}
vary:
  - {{key: "column[rod].diameter", values: {sizes}}}
collect: [power, current, largest current, hottest tool, energy]
require: [{{value: power, at most: 1 kW}}]
"""


def check(condition, what):
    if not condition:
        sys.exit(f"FAILED: {what}")


def run(program, *words):
    subprocess.run([program, *words, "--quiet"], check=True, stdout=subprocess.DEVNULL)


def looks_well(browser, page):
    browser.open(page)
    check(browser.script("return document.title") != "hacked", "a title is text")
    for scheme in ("light", "dark"):
        browser.open(page, scheme=scheme)
        browser.script("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        faint, looked = access.faint_texts(browser)
        check(not faint and looked > 20, f"every one of {looked} texts stands out ({scheme}), yet {faint[:5]}")
    without, named = access.nameless(browser)
    check(not without and named > 0, f"all controls have names, yet {without} have none")
    browser.open(page, width=390)
    check(browser.script("return document.documentElement.scrollWidth") <= 390, "no wider than a telephone")
    complaints, asked = browser.complaints(), browser.requests()
    check(not complaints, f"the console stays empty, yet {complaints}")
    check(all(url.startswith("file:") for url in asked), f"nothing is asked for from outside: {asked}")


def hands_out_its_table(browser, page, downloads, name):
    browser.open(page)
    shown = browser.script("""return [...document.getElementById(arguments[0]).rows].map(
        (row) => [...row.cells].map((cell) => cell.textContent.trim().replace(/\\s+/g, " ")))""", name)
    browser.script("document.querySelector(`[data-csv='table:${arguments[0]}']`).click()", name)
    file = downloads / f"table-{name}.csv"
    for _ in range(100):
        if file.exists():
            break
        time.sleep(0.1)
    with file.open(newline="") as stream:
        check(list(csv.reader(stream)) == shown and len(shown) > 2, f"the CSV of {name} is its table")


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    program, case = sys.argv[1], Path(sys.argv[2]).resolve() / "heated-rod.yaml"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sizes = [f"{10 + k} mm" for k in range(12)]
        (folder / "plan.yaml").write_text(PLAN.format(case=case, sizes="[" + ", ".join(sizes) + "]"))
        run(program, "vary", folder / "plan.yaml", "--out", folder / "varied")
        run(program, "bound", case, "--samples", "8", "--out", folder / "bounded")
        with Browser(folder) as browser:
            for study, table in (("varied", "variants"), ("bounded", "inputs")):
                page = folder / study / "report.html"
                looks_well(browser, page)
                hands_out_its_table(browser, page, folder, table)
                print(f"{study}: quiet, readable, narrow, CSV")
            browser.open(folder / "varied" / "report.html")
            browser.print_pdf(folder / "varied.pdf")
            sheets = len(re.findall(rb"/Type\s*/Page\b", (folder / "varied.pdf").read_bytes()))
            check(sheets == 1, f"a dozen variants on one sheet, not {sheets}")


if __name__ == "__main__":
    main()
