// Cells of the mesh as they lie at each moment, and the values of the fields in them. Lengths in m; values in the
// unit shown. A moment is the index of a frame.
page.cells = (() => {
  "use strict";

  const {data, decode} = page;
  const count = data.cells.count;
  const part = decode(data.cells.part).map(Math.round);
  const rLow = decode(data.cells.r_low);
  const rHigh = decode(data.cells.r_high);
  const startLow = decode(data.cells.z_low);
  const startHigh = decode(data.cells.z_high);
  const heights = new Map();  // of a moment
  const values = new Map();   // of a field, one array per moment
  const ranges = new Map();   // of a field

  // Of each cell the place among those of the given parts; -1: not among them.
  function places(parts) {
    const place = new Int32Array(count).fill(-1);
    let next = 0;
    for (let c = 0; c < count; ++c)
      if (!parts || parts.includes(part[c])) place[c] = next++;
    return place;
  }

  function setOwnHeights(low, high, number, frame) {
    const own = data.heights[number][frame];
    const ownLow = decode(own.z_low);
    const ownHigh = decode(own.z_high);
    places([number]).forEach((place, c) => {
      if (place < 0) return;
      low[c] = ownLow[place];
      high[c] = ownHigh[place];
    });
  }

  // Lower and upper faces of the cells: their part has moved as a whole, or each cell has heights of its own.
  function at(frame) {
    if (heights.has(frame)) return heights.get(frame);
    const moved = data.moved[frame];
    const low = startLow.map((z, c) => z + (moved[part[c]] ?? 0));
    const high = startHigh.map((z, c) => z + (moved[part[c]] ?? 0));
    moved.forEach((dz, number) => {
      if (dz === null) setOwnHeights(low, high, number, frame);
    });
    heights.set(frame, {low, high});
    return heights.get(frame);
  }

  // NaN where the field is not known.
  function spread(field, packed) {
    const known = decode(packed);
    const add = data.fields[field].add ?? 0;
    return Float64Array.from(places(data.fields[field].parts), (p) => (p < 0 ? NaN : known[p] + add));
  }

  function field(number, frame) {
    if (!values.has(number)) values.set(number, data.fields[number].frames.map((q) => spread(number, q)));
    return values.get(number)[frame];
  }

  function extent(arrays) {
    let low = Infinity;
    let high = -Infinity;
    for (const array of arrays)
      for (const v of array) {
        if (v < low) low = v;
        if (v > high) high = v;
      }
    return {low, high};
  }

  function range(number) {
    if (!ranges.has(number)) {
      field(number, 0);
      ranges.set(number, extent(values.get(number)));
    }
    return ranges.get(number);
  }

  // Smallest difference that the packed values hold for certain.
  function finest(number) {
    const {low, high} = range(number);
    return 1e-6 * (high - low);
  }

  // Cell that holds the point; -1: none does. Half open, so that no point has two.
  function find(r, z, frame) {
    const {low, high} = at(frame);
    for (let c = 0; c < count; ++c)
      if (rLow[c] <= r && r < rHigh[c] && low[c] <= z && z < high[c]) return c;
    return -1;
  }

  function middle(c, frame) {
    const {low, high} = at(frame);
    return {r: 0.5 * (rLow[c] + rHigh[c]), z: 0.5 * (low[c] + high[c])};
  }

  // Next cell from c in a direction (dr, dz), across gaps; c itself at the end of the stack.
  function neighbour(c, dr, dz, frame) {
    const {r, z} = middle(c, frame);
    const line = dr ? along("r", z, frame) : along("z", r, frame);
    return line[line.indexOf(c) + dr + dz] ?? c;
  }

  // Cells that a line at the given z along r, or at the given r along z, runs through, in order.
  function along(axis, where, frame) {
    const {low, high} = at(frame);
    const [from, to, order] = axis === "r" ? [low, high, rLow] : [rLow, rHigh, low];
    const cells = [];
    for (let c = 0; c < count; ++c)
      if (from[c] <= where && where < to[c]) cells.push(c);
    return cells.sort((a, b) => order[a] - order[b]);
  }

  // A part is a block of rows and columns: its columns outward, in each the cells upward.
  function columnsOf(number) {
    const columns = new Map();
    for (let c = 0; c < count; ++c) {
      if (part[c] !== number) continue;
      if (!columns.has(rLow[c])) columns.set(rLow[c], []);
      columns.get(rLow[c]).push(c);
    }
    const outward = [...columns.entries()].sort((a, b) => a[0] - b[0]);
    return outward.map(([, cells]) => cells.sort((a, b) => startLow[a] - startLow[b]));
  }

  const columns = data.parts.map((_, number) => columnsOf(number));

  function box(cells, frame) {
    const {low, high} = at(frame);
    const pick = (array) => cells.map((c) => array[c]);
    return {
      rLow: Math.min(...pick(rLow)), rHigh: Math.max(...pick(rHigh)),
      zLow: Math.min(...pick(low)), zHigh: Math.max(...pick(high)),
    };
  }

  function partBox(number, frame) {
    return box(columns[number].flat(), frame);
  }

  return {count, part, rLow, rHigh, columns, at, field, range, extent, finest, find, middle, neighbour, along, partBox};
})();
