// Map of a field in the half section and what the reader does with it: field, moment, the cell under the pointer
// and the chosen one. Lengths in m, places on the canvas in CSS pixels.
page.map = (() => {
  "use strict";

  const {data, word, byId, cells} = page;
  const {toX, toY} = page.drawing;
  const canvas = byId("map");
  if (!canvas) return null;

  const base = document.createElement("canvas");  // the map without the marks of pointer and choice
  const listeners = [];
  const state = {field: data.field, frame: data.start, zoomed: false, chosen: 0, pointed: -1};
  let view = null;

  // Middle of the powder, or of all cells where there is none.
  function firstChoice() {
    const boxes = data.parts.map((part, number) => ({part, ...cells.partBox(number, state.frame)}));
    const powders = boxes.filter(({part}) => part.powder);
    const wanted = powders.length ? powders.slice(0, 1) : boxes;
    const low = Math.min(...wanted.map((box) => box.zLow));
    const high = Math.max(...wanted.map((box) => box.zHigh));
    const r = Math.min(...wanted.map((box) => box.rLow));
    const found = cells.find(r + 1e-7, 0.5 * (low + high) + 1e-9, state.frame);
    return found < 0 ? 0 : found;
  }

  function drawPointed(context) {
    const {low, high} = cells.at(state.frame);
    const c = state.pointed;
    const [x, y] = [toX(cells.rLow[c]), toY(high[c])];
    const size = [toX(cells.rHigh[c]) - x, toY(low[c]) - y];
    for (const [ink, width] of [["#ffffff", 3], ["#1d232a", 1]]) {
      context.strokeStyle = ink;
      context.lineWidth = width;
      context.strokeRect(x, y, ...size);
    }
  }

  function drawChosen(context) {
    const {r, z} = cells.middle(state.chosen, state.frame);
    for (const [ink, width] of [["#ffffff", 4], ["#1d232a", 1.5]]) {
      context.strokeStyle = ink;
      context.lineWidth = width;
      context.beginPath();
      context.moveTo(toX(r) - 8, toY(z));
      context.lineTo(toX(r) + 8, toY(z));
      context.moveTo(toX(r), toY(z) - 8);
      context.lineTo(toX(r), toY(z) + 8);
      context.stroke();
    }
  }

  // What a reader by program needs to find a cell again goes with the picture.
  function compose() {
    const context = page.sized(canvas, view.width, view.height);
    context.drawImage(base, 0, 0, view.width, view.height);
    drawChosen(context);
    if (state.pointed >= 0) drawPointed(context);
    const chosen = cells.middle(state.chosen, state.frame);
    Object.assign(canvas.dataset, {
      frame: state.frame, field: data.fields[state.field].key, originX: view.x0, originY: view.y0, scale: view.scale,
      chosenX: toX(chosen.r), chosenY: toY(chosen.z), top: toY(view.box.zHigh), bottom: toY(view.box.zLow),
    });
  }

  function placeText(c) {
    const {r, z} = cells.middle(c, state.frame);
    return `r = ${page.millimetres(r)}, z = ${page.millimetres(z)}`;
  }

  function valueText(c) {
    const value = cells.field(state.field, state.frame)[c];
    if (Number.isNaN(value)) return word("no_value");
    return page.withUnit(page.shown(value, cells.finest(state.field)), data.fields[state.field].unit);
  }

  function tell() {
    const c = state.pointed >= 0 ? state.pointed : state.chosen;
    const reading = byId("reading");
    reading.textContent = `${placeText(c)}, ${data.parts[cells.part[c]].name}: ${valueText(c)}`;
    reading.dataset.cell = c;
    reading.dataset.value = cells.field(state.field, state.frame)[c];
  }

  function timeText() {
    const {time, label: text} = data.frames[state.frame];
    byId("time-text").textContent = [page.seconds(time), text].filter((part) => part).join("  ·  ");
    byId("time").setAttribute("aria-valuetext", byId("time-text").textContent);
  }

  function point(c) {
    if (c === state.pointed) return;
    state.pointed = c;
    compose();
    tell();
  }

  function choose(c) {
    if (c < 0) return;
    state.chosen = c;
    change();
  }

  // After any change of what is shown.
  function change() {
    view = page.drawing.draw(base, state, canvas.parentElement.clientWidth);
    compose();
    page.drawing.drawScale(byId("scale"));
    tell();
    timeText();
    for (const listener of listeners) listener(state);
  }

  function under(event) {
    const r = (event.offsetX - view.x0) / view.scale;
    const z = (view.y0 - event.offsetY) / view.scale;
    const inView = r <= view.box.rHigh && view.box.zLow <= z && z <= view.box.zHigh;
    return inView ? cells.find(r, z, state.frame) : -1;
  }

  const arrows = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowDown: [0, -1], ArrowUp: [0, 1]};

  function onKey(event) {
    const from = state.pointed >= 0 ? state.pointed : state.chosen;
    if (arrows[event.key]) point(cells.neighbour(from, ...arrows[event.key], state.frame));
    else if (event.key === "Enter") choose(from);
    else if (event.key === "Escape") point(-1);
    else return;
    event.preventDefault();
  }

  function wireControls() {
    const select = byId("field");
    select.value = select.options[state.field]?.value ?? select.value;
    byId("time").value = state.frame;
    select.addEventListener("change", () => change(state.field = select.selectedIndex));
    byId("time").addEventListener("input", (event) => change(state.frame = Number(event.target.value)));
    for (const id of ["contours", "scale-frame"]) byId(id).addEventListener("change", change);
    byId("zoom").addEventListener("click", () => {
      state.zoomed = !state.zoomed;
      byId("zoom").setAttribute("aria-pressed", state.zoomed);
      change();
    });
  }

  function wireMap() {
    canvas.setAttribute("role", "application");
    if (!canvas.hasAttribute("aria-label")) canvas.setAttribute("aria-label", word("map"));
    canvas.addEventListener("pointermove", (event) => point(under(event)));
    canvas.addEventListener("pointerleave", () => point(-1));
    canvas.addEventListener("click", (event) => choose(under(event)));
    canvas.addEventListener("keydown", onKey);
  }

  function rows(chosen) {
    const {low, high} = cells.at(state.frame);
    const values = cells.field(state.field, state.frame);
    const {name, unit} = data.fields[state.field];
    const head = ["r_low [m]", "r_high [m]", "z_low [m]", "z_high [m]", "part", `${name} [${unit}]`];
    return [head, ...chosen.map((c) =>
      [cells.rLow[c], cells.rHigh[c], low[c], high[c], data.parts[cells.part[c]].name, values[c]])];
  }

  state.chosen = firstChoice();
  wireControls();
  wireMap();
  page.onCsv("field", () => rows(Array.from({length: cells.count}, (_, c) => c)));
  page.onPaint(change);

  return {state, rows, valueText, onChange: (listener) => listeners.push(listener)};
})();
