// Curves of the shown field through the chosen cell, along r and along z, with the borders of the parts.
(() => {
  "use strict";

  if (!page.map) return;
  const {data, word, byId, cells, plots} = page;
  const lines = [
    {axis: "r", id: "along-r", other: "z", start: (c) => cells.rLow[c], end: (c) => cells.rHigh[c]},
    {axis: "z", id: "along-z", other: "r", start: (c, faces) => faces.low[c], end: (c, faces) => faces.high[c]},
  ].map((line) => ({...line, plot: byId(line.id), text: byId(`${line.id}-text`), mark: page.element("div", "mark"),
                    xUnit: page.element("span", "unit-x", `${line.axis} [mm]`),
                    yUnit: page.element("span", "unit-y", ""), graph: null, row: 0}));

  function cut(line, state) {
    return cells.along(line.axis, cells.middle(state.chosen, state.frame)[line.other], state.frame);
  }

  // A logarithmic axis has no place for what is next to nothing.
  function drawable(value, state) {
    const {log} = data.fields[state.field];
    return !Number.isNaN(value) && (!log || value > 1e-5 * cells.range(state.field).high);
  }

  // Cells the field is known in. Between parts the curve is broken, for at their contact it may jump.
  function curve(line, state) {
    const values = cells.field(state.field, state.frame);
    const faces = cells.at(state.frame);
    const known = cut(line, state).filter((c) => drawable(values[c], state));
    const rows = [];
    const borders = [];
    known.forEach((c, k) => {
      const start = 1e3 * line.start(c, faces);
      if (k > 0 && cells.part[known[k - 1]] !== cells.part[c]) {
        rows.push({x: start, value: null, c: -1});
        borders.push(start);
      }
      rows.push({x: 0.5 * (start + 1e3 * line.end(c, faces)), value: values[c], c});
    });
    return {rows, borders};
  }

  function drawBorders(borders) {
    return (context, area, graph) => {
      context.strokeStyle = page.colour("quiet");
      context.setLineDash([2, 3]);
      for (const border of borders) {
        const x = Math.round(graph.toDomXCoord(border)) + 0.5;
        context.beginPath();
        context.moveTo(x, area.y);
        context.lineTo(x, area.y + area.h);
        context.stroke();
      }
      context.setLineDash([]);
    };
  }

  function setRow(line, row) {
    line.row = row;
    const {x, c} = line.curve.rows[row];
    plots.showMark(line.plot, line.mark, line.graph, x);
    const place = `${line.axis} = ${page.millimetres(1e-3 * x)}`;
    const there = c < 0 ? place : `${place}, ${data.parts[cells.part[c]].name}: ${page.map.valueText(c)}`;
    const through = cells.middle(page.map.state.chosen, page.map.state.frame)[line.other];
    line.text.textContent = `${word(`along_${line.axis}`)} ${line.other} = ${page.millimetres(through)}.  ${there}`;
    line.plot.setAttribute("aria-valuenow", row);
    line.plot.setAttribute("aria-valuemax", line.curve.rows.length - 1);
    line.plot.setAttribute("aria-valuetext", there);
  }

  function clear(line) {
    line.graph?.destroy();
    line.graph = null;
    line.curve = {rows: [], borders: []};
    line.plot.replaceChildren();
    line.text.textContent = word("no_value");
    line.plot.setAttribute("aria-valuetext", word("no_value"));
  }

  function paint(line, state) {
    clear(line);
    const drawn = curve(line, state);
    if (!drawn.rows.length) return;
    line.curve = drawn;
    const look = {dash: [], width: 1.5, colour: page.colour("line-1")};
    line.yUnit.textContent = data.fields[state.field].unit.replace(/^1$/, "");
    line.graph = plots.draw(line.plot, drawn.rows.map(({x, value}) => [x, value]), ["value"], [look], {
      underlayCallback: drawBorders(drawn.borders), interactionModel: {}, drawPoints: true, pointSize: 1.5,
      highlightCallback: (event, x, points, row) => setRow(line, row), logscale: Boolean(data.fields[state.field].log),
    });
    const middle = 1e3 * cells.middle(state.chosen, state.frame)[line.axis];
    setRow(line, plots.nearest(drawn.rows.map(({x, c}) => (c < 0 ? Infinity : x)), middle));
  }

  function wire(line) {
    line.plot.before(line.yUnit);
    line.plot.after(line.xUnit);
    line.plot.tabIndex = 0;
    line.plot.setAttribute("role", "slider");
    line.plot.setAttribute("aria-valuemin", 0);
    line.plot.setAttribute("aria-label", word(`along_${line.axis}`));
    line.plot.addEventListener("keydown", (event) => {
      const row = line.graph && plots.stepOf(event, line.row, line.curve.rows.length - 1);
      if (row === undefined || row === null) return;
      setRow(line, row);
      event.preventDefault();
    });
    page.onCsv(line.id, () => page.map.rows(cut(line, page.map.state)));
  }

  lines.forEach(wire);
  page.map.onChange((state) => lines.forEach((line) => paint(line, state)));
})();
