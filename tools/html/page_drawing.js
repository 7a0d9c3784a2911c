// Draws a field in the half section: cells as they are, outlines, contours, axes, names, and the colour bar. Lengths
// in m, places on the canvas in CSS pixels.
page.drawing = (() => {
  "use strict";

  const {data, byId, cells} = page;
  const edge = {left: 46, right: 12, top: 26, bottom: 40};
  const tallest = 640;
  const namesWidth = 150;
  let state = null;  // what is shown: field, frame, zoomed
  let view = null;   // where it lies

  function powderCells() {
    const numbers = data.parts.flatMap((part, number) => (part.powder ? [number] : []));
    return numbers.flatMap((number) => cells.columns[number].flat());
  }

  function wholeBox() {
    const boxes = data.parts.flatMap((_, number) =>
      data.frames.map((__, frame) => cells.partBox(number, frame)));  // one frame for all moments
    return {
      rHigh: Math.max(...boxes.map((box) => box.rHigh)),
      zLow: Math.min(...boxes.map((box) => box.zLow)), zHigh: Math.max(...boxes.map((box) => box.zHigh)),
    };
  }

  // The powder at its tallest, what surrounds it along r, and as much above and below as is wide.
  function powderBox() {
    const inPowder = powderCells();
    if (!inPowder.length) return wholeBox();
    const faces = data.frames.map((_, frame) => cells.at(frame));
    const zLow = Math.min(...faces.flatMap(({low}) => inPowder.map((c) => low[c])));
    const zHigh = Math.max(...faces.flatMap(({high}) => inPowder.map((c) => high[c])));
    let rHigh = 0;
    for (let c = 0; c < cells.count; ++c)
      if (faces.some(({low, high}) => low[c] < zHigh && high[c] > zLow)) rHigh = Math.max(rHigh, cells.rHigh[c]);
    const span = Math.max(1.5 * (zHigh - zLow), 1.2 * rHigh);
    const middle = 0.5 * (zLow + zHigh);
    return {rHigh: 1.02 * rHigh, zLow: middle - 0.5 * span, zHigh: middle + 0.5 * span};
  }

  const boxes = {whole: wholeBox(), powder: powderBox()};

  // Where r = 0 and z = 0 lie on the canvas, and pixels per metre. Names of parts stand on the right where
  // there is room.
  function fit(width) {
    const box = state.zoomed ? boxes.powder : boxes.whole;
    const room = width - edge.left - edge.right;
    const high = tallest - edge.top - edge.bottom;
    const wide = high / (box.zHigh - box.zLow) * box.rHigh;
    const names = !state.zoomed || wide + namesWidth <= room;
    const scale = Math.min((names ? room - namesWidth : room) / box.rHigh, high / (box.zHigh - box.zLow));
    const height = edge.top + edge.bottom + scale * (box.zHigh - box.zLow);
    return {box, width, height: Math.round(height), scale, names, x0: edge.left, y0: edge.top + scale * box.zHigh,
            right: edge.left + scale * box.rHigh};
  }

  function toX(r) {
    return view.x0 + view.scale * r;
  }

  function toY(z) {
    return view.y0 - view.scale * z;
  }

  function scaleRange() {
    if (!byId("scale-frame").checked) return cells.range(state.field);
    return cells.extent([cells.field(state.field, state.frame)]);
  }

  // Place of a value in its table, 0 to 255. Fields of many powers of ten may ask for a logarithmic scale.
  function tableIndex(value, {low, high}) {
    if (!(high > low)) return 128;
    const log = data.fields[state.field].log && high > 0;
    const floor = log ? Math.max(low, 1e-5 * high) : low;
    const t = log ? Math.log(Math.max(value, floor) / floor) / Math.log(high / floor) : (value - low) / (high - low);
    return Math.max(0, Math.min(255, Math.round(255 * t)));
  }

  function table() {
    return data.tables[data.fields[state.field].table];
  }

  // Round values of the scale: steps of 1, 2 or 5, or powers of ten.
  function levels(range, wanted) {
    if (!data.fields[state.field].log || !(range.high > 0)) return page.roundNumbers(range.low, range.high, wanted);
    const to = Math.floor(Math.log10(range.high));
    const from = Math.ceil(Math.log10(Math.max(range.low, 1e-5 * range.high)));
    return Array.from({length: Math.max(0, to - from + 1)}, (_, k) => 10 ** (from + k));
  }

  // Faces fall on dots of the device, so that neighbours neither overlap nor leave a seam.
  function drawCells(context, range) {
    const ratio = page.pixelRatio();
    const values = cells.field(state.field, state.frame);
    const {low, high} = cells.at(state.frame);
    const colours = table();
    const unknown = page.colour("unknown");
    const dot = (x) => Math.round(x * ratio) / ratio;
    for (let c = 0; c < cells.count; ++c) {
      const [left, right] = [dot(toX(cells.rLow[c])), dot(toX(cells.rHigh[c]))];
      const [top, bottom] = [dot(toY(high[c])), dot(toY(low[c]))];
      context.fillStyle = Number.isNaN(values[c]) ? unknown : colours[tableIndex(values[c], range)];
      context.fillRect(left, top, right - left, bottom - top);
    }
  }

  function drawOutlines(context) {
    const {low, high} = cells.at(state.frame);
    context.strokeStyle = page.colour("outline");
    context.lineWidth = 1;
    for (const columns of cells.columns) {
      context.beginPath();
      const faces = (column) => [toX(cells.rLow[column[0]]), toX(cells.rHigh[column[0]])];
      for (const column of columns)
        for (const x of faces(column)) context.lineTo(x, toY(low[column[0]]));
      for (const column of [...columns].reverse())
        for (const x of faces(column).reverse()) context.lineTo(x, toY(high[column.at(-1)]));
      context.closePath();
      context.stroke();
    }
  }

  // Dark lines on the light half of the table and the other way round.
  function inkOn(index) {
    const [r, g, b] = [1, 3, 5].map((at) => parseInt(table()[index].slice(at, at + 2), 16));
    return 0.3 * r + 0.6 * g + 0.1 * b > 120 ? "#1d232a" : "#ffffff";
  }

  // Values of the cells in view: their lines of equal value are drawn, however little they differ.
  function valuesInView() {
    const {low, high} = cells.at(state.frame);
    const {box} = view;
    return cells.field(state.field, state.frame).filter((_, c) =>
      cells.rLow[c] < box.rHigh && low[c] < box.zHigh && high[c] > box.zLow);
  }

  // Foils are too thin to be written on.
  function roomy(number) {
    const box = cells.partBox(number, state.frame);
    return Math.min(box.rHigh - box.rLow, box.zHigh - box.zLow) * view.scale > 30;
  }

  // One label for each level, as far as can be from the labels already there.
  function placeOf(segments, placed) {
    let best = null;
    for (const [a, b] of segments) {
      const at = {x: toX(0.5 * (a.r + b.r)), y: toY(0.5 * (a.z + b.z)), room: Infinity};
      if (at.x < toX(0) + 16 || at.x > view.right - 16 || at.y < edge.top + 8 || at.y > view.height - edge.bottom - 8)
        continue;
      for (const other of placed) at.room = Math.min(at.room, Math.hypot(0.6 * (at.x - other.x), at.y - other.y));
      if (at.room > 20 && (!best || at.room > best.room)) best = at;
    }
    return best;
  }

  function drawContours(context, range) {
    const values = cells.field(state.field, state.frame);
    const placed = [];
    for (const level of levels(cells.extent([valuesInView()]), 12)) {
      const ofParts = data.parts.map((_, number) => page.contours.ofPart(number, values, state.frame, level));
      const index = tableIndex(level, range);
      context.strokeStyle = context.fillStyle = inkOn(index);
      context.lineWidth = 0.8;
      context.beginPath();
      for (const [a, b] of ofParts.flat()) {
        context.moveTo(toX(a.r), toY(a.z));
        context.lineTo(toX(b.r), toY(b.z));
      }
      context.stroke();
      const at = placeOf(ofParts.filter((_, number) => roomy(number)).flat(), placed);
      if (at) label(context, page.tick(level), at, table()[index]);
      if (at) placed.push(at);
    }
  }

  function label(context, text, {x, y}, ground) {
    context.font = context.font.replace(/^\S+/, "11px");
    context.textAlign = "center";
    context.textBaseline = "middle";
    context.lineWidth = 4;
    context.strokeStyle = ground;
    context.lineJoin = "round";
    context.strokeText(text, x, y);
    context.fillText(text, x, y);
  }

  function drawAxes(context) {
    const {box} = view;
    const bottom = view.height - edge.bottom;
    context.fillStyle = context.strokeStyle = page.colour("text");
    context.lineWidth = 1;
    context.font = context.font.replace(/^\S+/, "12px");
    context.textAlign = "right";
    context.textBaseline = "middle";
    const line = (x1, y1, x2, y2) => {
      context.beginPath();
      context.moveTo(x1, y1);
      context.lineTo(x2, y2);
      context.stroke();
    };
    line(view.x0 - 4.5, edge.top, view.x0 - 4.5, bottom);
    line(view.x0, bottom + 4.5, view.right, bottom + 4.5);
    for (const z of page.roundNumbers(1e3 * box.zLow, 1e3 * box.zHigh, (bottom - edge.top) / 50)) {
      line(view.x0 - 8.5, toY(1e-3 * z), view.x0 - 4.5, toY(1e-3 * z));
      context.fillText(page.tick(z), view.x0 - 11, toY(1e-3 * z));
    }
    context.textAlign = "center";
    context.textBaseline = "top";
    for (const r of page.roundNumbers(0, 1e3 * box.rHigh, (view.right - view.x0) / 45)) {
      line(toX(1e-3 * r), bottom + 4.5, toX(1e-3 * r), bottom + 8.5);
      context.fillText(page.tick(r), toX(1e-3 * r), bottom + 11);
    }
    context.textAlign = "right";
    context.fillText("r [mm]", view.right + 4, bottom + 26);
    context.textAlign = "left";
    context.fillText("z [mm]", 2, 2);
  }

  // Names of the parts in view on the right, pushed apart, each with a line to its part.
  function drawNames(context) {
    const {zLow, zHigh} = view.box;
    const middleInView = (part) => toY(0.5 * (Math.max(part.zLow, zLow) + Math.min(part.zHigh, zHigh)));
    const named = data.parts.map((part, number) => ({name: part.name, ...cells.partBox(number, state.frame)}))
      .filter((part) => (part.zHigh - part.zLow) * view.scale > 1 && part.zHigh > zLow && part.zLow < zHigh)
      .map((part) => ({...part, y: middleInView(part)}))
      .sort((a, b) => a.y - b.y || b.rHigh - a.rHigh);
    const apart = 15;
    const places = named.map((part) => part.y);
    for (let k = 1; k < places.length; ++k) places[k] = Math.max(places[k], places[k - 1] + apart);
    const over = Math.max(0, (places.at(-1) ?? 0) - (view.height - edge.bottom));
    if (over > 0) places[places.length - 1] -= over;
    for (let k = places.length - 2; k >= 0; --k) places[k] = Math.min(places[k], places[k + 1] - apart);
    context.textAlign = "left";
    context.textBaseline = "middle";
    named.forEach((part, k) => {
      const from = toX(part.rHigh - Math.min(0.5 * (part.rHigh - part.rLow), 3 / view.scale));
      context.strokeStyle = page.colour("quiet");
      context.beginPath();
      context.moveTo(from, part.y);
      context.lineTo(view.right + 6, part.y);
      context.lineTo(view.right + 18, places[k]);
      context.stroke();
      context.fillStyle = page.colour("text");
      context.fillText(part.name, view.right + 22, places[k], view.width - view.right - 24);
    });
  }

  // Draws what the state asks for on a canvas of the given width and says where it lies.
  function draw(canvas, asked, width) {
    state = asked;
    view = fit(width);
    const range = scaleRange();
    const context = page.sized(canvas, view.width, view.height);
    context.save();
    context.beginPath();
    context.rect(view.x0 - 1, edge.top - 1, view.right - view.x0 + 2, view.height - edge.top - edge.bottom + 2);
    context.clip();
    drawCells(context, range);
    drawOutlines(context);
    if (byId("contours").checked) drawContours(context, range);
    context.restore();
    drawAxes(context);
    if (view.names) drawNames(context);
    return view;
  }

  function drawScale(bar) {
    const width = bar.parentElement.clientWidth;
    const context = page.sized(bar, width, 44);
    const range = scaleRange();
    const [left, right, tall] = [8, width - 90, 14];
    const dots = Math.round((right - left) * page.pixelRatio());
    for (let k = 0; k < dots; ++k) {
      context.fillStyle = table()[Math.floor(256 * k / dots)];
      context.fillRect(left + k / page.pixelRatio(), 0, 1 / page.pixelRatio(), tall);
    }
    context.fillStyle = context.strokeStyle = page.colour("text");
    context.textBaseline = "top";
    context.textAlign = "center";
    for (const level of levels(range, width / 90)) {
      const x = left + (right - left) * tableIndex(level, range) / 255;
      context.fillRect(x - 0.5, tall, 1, 4);
      context.fillText(page.tick(level), x, tall + 7);
    }
    context.textAlign = "left";
    if (data.fields[state.field].unit !== "1") context.fillText(data.fields[state.field].unit, right + 10, 1);
  }

  return {draw, drawScale, toX, toY};
})();
