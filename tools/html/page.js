// The interactive part of the report page. What the page says (data, words, colour tables) is written by the
// program; these files only draw it and answer the reader. They share the one constant `page` and are embedded at
// the end of the page in alphabetical order. This one: data and words, numbers, canvases, printing, CSV.
const page = (() => {
  "use strict";

  const data = JSON.parse(document.getElementById("data").textContent);
  const largest = 16777215;  // of a number of three bytes
  const painters = [];       // run whenever size, colours or medium change
  const tables = {};         // of each data-csv kind: function that gives rows
  let printing = false;

  function word(key) {
    return data.words[key] ?? key;
  }

  function byId(id) {
    return document.getElementById(id);
  }

  function element(tag, className, text) {
    const made = document.createElement(tag);
    made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  }

  // Numbers between low and high, three bytes each, most significant first, in base64.
  function decode(packed) {
    const bytes = atob(packed.values);
    const step = (packed.high - packed.low) / largest;
    const numbers = new Float64Array(bytes.length / 3);
    for (let i = 0, b = 0; i < numbers.length; ++i, b += 3) {
      const n = bytes.charCodeAt(b) * 65536 + bytes.charCodeAt(b + 1) * 256 + bytes.charCodeAt(b + 2);
      numbers[i] = packed.low + step * n;
    }
    return numbers;
  }

  function withMark(text) {
    return text.replace(".", word("decimal_mark"));
  }

  // Four digits, or a decimal more where that tells tenths of a kelvin; fewer where the data do not hold them
  // (`finest`: smallest difference worth showing).
  function shown(value, finest = 0) {
    if (!Number.isFinite(value)) return "–";
    if (Math.abs(value) < 0.5 * finest) return "0";
    const size = Math.floor(Math.log10(Math.abs(value) || 1));
    const carried = finest > 0 ? Math.ceil(-Math.log10(finest)) : 12;
    const decimals = Math.max(0, Math.min(Math.max(3 - size, size === 3 || size === 4 ? 1 : 0), carried, 12));
    const plain = value === 0 || (size < 7 && size > -4);
    const text = plain ? value.toFixed(decimals) : value.toExponential(3);
    return withMark(/[1-9]/.test(text) ? text : text.replace("-", ""));
  }

  // A pure number has no unit to show.
  function withUnit(text, unit) {
    return unit === "1" ? text : `${text} ${unit}`;
  }

  function tick(value) {
    return withMark(String(Number(value.toPrecision(6))));
  }

  function roundStep(span, wanted) {
    const rough = span / wanted;
    const power = 10 ** Math.floor(Math.log10(rough));
    return power * ([1, 2, 5].find((n) => n * power >= rough) ?? 10);
  }

  // A length in m as mm, to a hundredth.
  function millimetres(metres) {
    return `${withMark((1e3 * metres).toFixed(2))} mm`;
  }

  // A time in s, to a tenth.
  function seconds(time) {
    return `${tick(Math.round(10 * time) / 10)} s`;
  }

  // Round numbers within [low, high], about as many as wanted.
  function roundNumbers(low, high, wanted) {
    if (!(high > low)) return [low];
    const step = roundStep(high - low, wanted);
    const numbers = [];
    for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; ++k) numbers.push(k * step);
    return numbers;
  }

  function colour(name) {
    return getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
  }

  function onPaper() {
    return printing;
  }

  function pixelRatio() {
    return printing ? 3 : window.devicePixelRatio || 1;  // paper shows finer than the screen
  }

  // Lays out a canvas in CSS pixels, with one dot per pixel of the device.
  function sized(canvas, width, height) {
    const ratio = pixelRatio();
    canvas.width = Math.round(width * ratio);
    canvas.height = Math.round(height * ratio);
    canvas.style.height = `${height}px`;
    const context = canvas.getContext("2d");
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.clearRect(0, 0, width, height);
    context.font = `12px ${getComputedStyle(document.body).fontFamily}`;
    return context;
  }

  function onPaint(painter) {
    painters.push(painter);
  }

  function repaint() {
    for (const painter of painters) painter();
  }

  function csvField(value) {
    const text = typeof value === "number" && !Number.isFinite(value) ? "" : String(value ?? "");
    return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  }

  // RFC 4180: fields by commas, lines by CRLF, quotes doubled.
  function csvText(rows) {
    return rows.map((row) => row.map(csvField).join(",") + "\r\n").join("");
  }

  function htmlTable(id) {
    const rows = [...byId(id).rows];
    return rows.map((row) => [...row.cells].map((cell) => cell.textContent.trim().replace(/\s+/g, " ")));
  }

  function download(kind) {
    const rows = kind.startsWith("table:") ? htmlTable(kind.slice(6)) : tables[kind]();
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([csvText(rows)], {type: "text/csv;charset=utf-8"}));
    link.download = `${kind.replace(":", "-")}.csv`;  // a colon is no part of a file name everywhere
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  }

  function onCsv(kind, rows) {
    tables[kind] = rows;
  }

  // Paper is laid out before it is printed, while the screen's rules still hold: the class `paper` gives its
  // width and its light colours.
  function beforePrint() {
    printing = true;
    document.documentElement.classList.add("paper");
    for (const details of document.querySelectorAll("details:not([open])")) {
      details.open = true;
      details.dataset.forPrint = "";
    }
    repaint();
  }

  function afterPrint() {
    printing = false;
    document.documentElement.classList.remove("paper");
    for (const details of document.querySelectorAll("details[data-for-print]")) {
      details.open = false;
      delete details.dataset.forPrint;
    }
    repaint();
  }

  let waiting = 0;
  let width = window.innerWidth;

  // A phone's address bar changes the height at every scroll: only the width counts.
  function onResize() {
    if (printing || window.innerWidth === width) return;
    width = window.innerWidth;
    cancelAnimationFrame(waiting);
    waiting = requestAnimationFrame(repaint);
  }

  // A table that scrolls sideways is reached by the keyboard, and says what it is by its section's heading.
  function nameScroller(scroller) {
    scroller.tabIndex = 0;
    scroller.setAttribute("role", "region");
    scroller.setAttribute("aria-label", scroller.closest("section")?.querySelector("h2")?.textContent ?? "");
  }

  function start() {
    document.querySelectorAll("div.wide:not([aria-label])").forEach(nameScroller);
    for (const button of document.querySelectorAll("button.csv"))
      button.addEventListener("click", () => download(button.dataset.csv));
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", repaint);
    window.addEventListener("beforeprint", beforePrint);
    window.addEventListener("afterprint", afterPrint);
    window.addEventListener("resize", onResize);
    repaint();
  }

  document.addEventListener("DOMContentLoaded", start);  // all files have been read by then

  return {
    data, word, byId, element, decode, shown, withUnit, millimetres, seconds, tick, roundNumbers, colour, onPaper,
    pixelRatio, sized, onPaint, onCsv,
  };
})();
