// Charts over time: one cursor and one window for all of them. Below each chart its values at the cursor.
page.plots = (() => {
  "use strict";

  // The library's own key of lines writes style attributes, which the page's policy forbids: we draw ours.
  Dygraph.PLUGINS = Dygraph.PLUGINS.filter((plugin) => String(plugin.prototype) !== "Legend Plugin");

  const styles = {
    programme: {dash: [6, 4], width: 1.5},
    sensor: {dash: [], width: 1.5},
    mean: {dash: [], width: 2.5},
    coldest: {dash: [2, 3], width: 1.2},
    hottest: {dash: [9, 3, 2, 3], width: 1.2},
  };
  const otherDashes = [[], [7, 3], [2, 3], [9, 3, 2, 3]];

  // Colour, dash and width of the lines of a chart; those without a role of their own in turn, beginning with
  // what no role looks like where there are some.
  function lineStyles(lines) {
    let others = lines.some(({role}) => styles[role]) ? 2 : 0;
    return lines.map(({role}) => {
      if (styles[role]) return {...styles[role], colour: page.colour(`line-${role}`)};
      const turn = others++ % otherDashes.length;
      return {dash: otherDashes[turn], width: 1.5, colour: page.colour(`line-${turn + 1}`)};
    });
  }

  function sample({dash, width, colour}) {
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    const line = document.createElementNS(svg.namespaceURI, "line");
    const set = (made, attributes) => Object.entries(attributes).forEach(([k, v]) => made.setAttribute(k, v));
    set(svg, {width: 30, height: 8, "aria-hidden": "true"});
    set(line, {x1: 0, x2: 30, y1: 4, y2: 4, stroke: colour, "stroke-width": width, "stroke-dasharray": dash.join(" ")});
    svg.append(line);
    return svg;
  }

  // Names of the lines, each behind a piece of its line.
  function fillKey(key, lines, looks) {
    const names = lines.map((line, k) => {
      const name = page.element("span", "name");
      name.append(sample(looks[k]), line.name);
      return name;
    });
    key.replaceChildren(...names);
  }

  // Chromium prints a canvas by drawing it once more, which leaves the library's charts empty: on paper a copy of
  // the dots stands in its place, without the marks of the cursor.
  function freeze(plot) {
    const [drawn, overlay] = plot.querySelectorAll("canvas");
    const copy = drawn.cloneNode();
    copy.getContext("2d").drawImage(drawn, 0, 0);
    drawn.replaceWith(copy);
    overlay.remove();
  }

  // What both kinds of chart have in common; `more` adds to it.
  function draw(plot, rows, names, looks, more) {
    const series = Object.fromEntries(names.map((name, k) => [
      name, {color: looks[k].colour, strokePattern: looks[k].dash.length ? looks[k].dash : null,
             strokeWidth: looks[k].width},
    ]));
    const axis = {axisLabelFormatter: page.tick, axisLineColor: page.colour("quiet"), axisLabelFontSize: 12,
                  gridLineColor: page.colour("rule"), ticker: Dygraph.numericTicks};
    const graph = new Dygraph(plot, rows, {
      labels: ["x", ...names], series, axes: {x: {...axis, pixelsPerLabel: 50}, y: axis}, yRangePad: 8, rightGap: 12,
      pixelRatio: page.pixelRatio(), hideOverlayOnMouseOut: false, highlightCircleSize: 3, ...more,
    });
    if (page.onPaper()) freeze(plot);
    return graph;
  }

  // A vertical line over a plot, moved without drawing the chart anew.
  function showMark(plot, mark, graph, x) {
    if (mark.parentNode !== plot) plot.append(mark);
    const area = graph.getArea();
    const at = graph.toDomXCoord(x);
    mark.hidden = !(at >= area.x - 1 && at <= area.x + area.w + 1);
    mark.style.left = `${at}px`;
    mark.style.top = `${area.y}px`;
    mark.style.height = `${area.h}px`;
  }

  function nearest(xs, x) {
    let best = 0;
    for (let k = 1; k < xs.length; ++k) if (Math.abs(xs[k] - x) < Math.abs(xs[best] - x)) best = k;
    return best;
  }

  // Rows by the arrow keys, ten with Shift, Home and End.
  function stepOf(event, row, last) {
    const step = event.shiftKey ? 10 : 1;
    const rows = {ArrowLeft: row - step, ArrowRight: row + step, Home: 0, End: last};
    const wanted = rows[event.key];
    return wanted === undefined ? undefined : Math.max(0, Math.min(last, wanted));
  }

  return {lineStyles, fillKey, draw, showMark, nearest, stepOf};
})();

(() => {
  "use strict";

  const {word, shown, plots} = page;
  const history = page.data.history;
  const times = history.time;
  const last = times.length - 1;
  const unit = [{name: "h", seconds: 3600, from: 4 * 3600}, {name: "min", seconds: 60, from: 600},
                {name: "s", seconds: 1, from: -Infinity}].find((u) => times[last] - times[0] >= u.from);
  const xs = times.map((t) => t / unit.seconds);
  const figures = [...document.querySelectorAll("figure.chart[data-chart]")].map(toFigure);
  let cursor = plots.nearest(times, page.data.frames[page.data.start]?.time ?? times[last]);
  let shownWindow = null;  // of time in `unit`; null: all

  function toFigure(figure) {
    const plot = figure.querySelector(".plot");
    const chart = history.charts[Number(figure.dataset.chart)];
    const key = page.element("p", "key");
    const yUnit = page.element("span", "unit-y", chart.unit === "1" ? "" : chart.unit);
    plot.before(key, yUnit);
    plot.after(page.element("span", "unit-x", unit.name));
    return {chart, plot, key, finest: finest(chart), reading: figure.querySelector(".reading"),
            mark: page.element("div", "mark"), band: page.element("div", "band"), graph: null};
  }

  function holdAt(time) {
    return history.holds.find((hold) => hold.start <= time && time <= hold.end);
  }

  function timeText(time) {
    const whole = page.seconds(time);
    return unit.seconds === 1 ? whole : `${shown(time / unit.seconds, 0.01)} ${unit.name} (${whole})`;
  }

  // Smallest difference worth showing in a chart.
  function finest(chart) {
    const known = chart.lines.flatMap((line) => line.values.filter((value) => value !== null));
    return 1e-4 * (Math.max(...known) - Math.min(...known));
  }

  // Values at the cursor; lines that end before it are left out.
  function valuesText({chart, finest: least}) {
    const known = chart.lines.filter((line) => Number.isFinite(line.values[cursor]));
    const texts = known.map((line) => `${line.name} ${shown(line.values[cursor], least)}`);
    return page.withUnit(texts.join("  ·  "), chart.unit);
  }

  function tell(figure) {
    const text = valuesText(figure);
    figure.reading.textContent = text;
    figure.plot.setAttribute("aria-valuenow", cursor);
    figure.plot.setAttribute("aria-valuetext", `${timeText(times[cursor])}: ${text}`);
  }

  function showCursor(figure) {
    figure.graph.clearSelection();
    figure.graph.setSelection(cursor);
    plots.showMark(figure.plot, figure.mark, figure.graph, xs[cursor]);
    tell(figure);
  }

  function setCursor(row) {
    cursor = row;
    const hold = holdAt(times[row]);
    const parts = [timeText(times[row])];
    if (hold) parts.push(hold.name);
    parts.push(valuesText(figures[0]));
    page.byId("cursor").textContent = parts.join("  ·  ");
    figures.filter((figure) => figure.graph).forEach(showCursor);
  }

  function setWindow(span) {
    shownWindow = span;
    for (const {graph} of figures) graph.updateOptions({dateWindow: span});
    setCursor(cursor);
    page.byId("reset-history").disabled = !span;
  }

  function zoom(factor) {
    const [low, high] = shownWindow ?? [xs[0], xs[last]];
    const half = Math.min(0.5 * factor * (high - low), 0.5 * (xs[last] - xs[0]));
    const middle = Math.max(xs[0] + half, Math.min(xs[last] - half, xs[cursor]));
    setWindow(2 * half < xs[last] - xs[0] ? [middle - half, middle + half] : null);
  }

  function shadeHolds(context, area, graph) {
    context.fillStyle = page.colour("hold");
    for (const hold of history.holds) {
      const from = Math.max(area.x, graph.toDomXCoord(hold.start / unit.seconds));
      const to = Math.min(area.x + area.w, graph.toDomXCoord(hold.end / unit.seconds));
      if (to > from) context.fillRect(from, area.y, to - from, area.h);
    }
  }

  // A mouse chooses a window of time by dragging; a finger moves the cursor, for the page scrolls under it.
  function interaction(figure) {
    let from = null;
    const place = (event) => figure.graph.eventToDomCoords(event)[0];
    const follow = (event) => setCursor(plots.nearest(xs, figure.graph.toDataXCoord(place(event))));
    const showBand = (to) => {
      const area = figure.graph.getArea();
      if (figure.band.parentNode !== figure.plot) figure.plot.append(figure.band);
      figure.band.hidden = Math.abs(to - from) < 6;
      figure.band.style.left = `${Math.min(from, to)}px`;
      figure.band.style.width = `${Math.abs(to - from)}px`;
      figure.band.style.top = `${area.y}px`;
      figure.band.style.height = `${area.h}px`;
    };
    return {
      pointerdown(event) {
        if (event.button) return;
        event.target.setPointerCapture(event.pointerId);
        if (event.pointerType === "touch") follow(event);
        else from = place(event);
      },
      pointermove(event) {
        if (event.pointerType === "touch") follow(event);
        else if (from !== null) showBand(place(event));
      },
      pointerup(event) {
        if (from === null) return;
        const ends = [from, place(event)].sort((a, b) => a - b);
        from = null;
        figure.band.hidden = true;
        if (ends[1] - ends[0] < 6) return;
        const within = (x) => Math.max(xs[0], Math.min(xs[last], x));
        setWindow(ends.map((at) => within(figure.graph.toDataXCoord(at))));
      },
      pointercancel() {
        from = null;
        figure.band.hidden = true;
      },
      dblclick() {
        setWindow(null);
      },
    };
  }

  function paint(figure) {
    const {chart, plot} = figure;
    const looks = plots.lineStyles(chart.lines);
    if (chart.lines.length > 1) plots.fillKey(figure.key, chart.lines, looks);  // one alone is in the caption
    figure.graph?.destroy();
    const rows = xs.map((x, k) => [x, ...chart.lines.map((line) => line.values[k])]);
    figure.graph = plots.draw(plot, rows, chart.lines.map((line) => line.name), looks, {
      dateWindow: shownWindow, underlayCallback: shadeHolds, interactionModel: interaction(figure),
      highlightCallback: (event, x, points, row) => setCursor(row),
      drawCallback: (graph, first) => first || graph !== figure.graph || showCursor(figure),
    });
  }

  function wire(figure) {
    const {plot, chart} = figure;
    const attributes = {role: "slider", "aria-label": `${chart.title}: ${word("cursor")}`, "aria-valuemin": 0,
                        "aria-valuemax": last};
    Object.entries(attributes).forEach(([name, value]) => plot.setAttribute(name, value));
    plot.addEventListener("keydown", (event) => {
      const row = plots.stepOf(event, cursor, last);
      if (row !== undefined) setCursor(row);
      else if (event.key === "+") zoom(0.5);
      else if (event.key === "-") zoom(2);
      else if (event.key === "Escape") setWindow(null);
      else return;
      event.preventDefault();
    });
  }

  function rows() {
    const lines = history.charts.flatMap((chart) =>
      chart.lines.map((line) => ({head: `${chart.title}: ${line.name} [${chart.unit}]`, values: line.values})));
    const head = ["time [s]", ...lines.map((line) => line.head)];
    return [head, ...times.map((time, k) => [time, ...lines.map((line) => line.values[k])])];
  }

  if (!figures.length) return;
  figures.forEach(wire);
  page.byId("reset-history").addEventListener("click", () => setWindow(null));
  page.byId("reset-history").disabled = true;
  page.onCsv("history", rows);
  page.onPaint(() => {
    figures.forEach(paint);
    setCursor(cursor);
  });
})();
