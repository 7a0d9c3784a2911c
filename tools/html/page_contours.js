// Lines of equal value through the cells' middles of one part, by marching squares.
page.contours = (() => {
  "use strict";

  // Where the value is met between two corners (r, z, value); undefined where it is not.
  function crossing(a, b, level) {
    if (a.value < level === b.value < level) return undefined;
    const t = (level - a.value) / (b.value - a.value);
    return {r: a.r + t * (b.r - a.r), z: a.z + t * (b.z - a.z)};
  }

  // Segments within the square of four corners in turn. Where all four sides are crossed, the mean of the
  // corners decides which of them the lines cut off.
  function inSquare(corners, level) {
    const met = corners.map((corner, k) => crossing(corner, corners[(k + 1) % 4], level));
    const points = met.filter((point) => point);
    if (points.length < 4) return points.length === 2 ? [points] : [];
    const mean = corners.reduce((sum, corner) => sum + corner.value, 0) / 4;
    const cutsFirst = mean < level !== corners[0].value < level;
    const [a, b, c, d] = points;
    return cutsFirst ? [[d, a], [b, c]] : [[a, b], [c, d]];
  }

  // Segments of a part at one level. Parts that are no block of rows and columns have none.
  function ofPart(number, values, frame, level) {
    const columns = page.cells.columns[number];
    const rows = columns.length ? columns[0].length : 0;
    if (columns.some((column) => column.length !== rows)) return [];
    const corner = (c) => ({...page.cells.middle(c, frame), value: values[c]});
    const grid = columns.map((column) => column.map(corner));
    const segments = [];
    for (let i = 0; i + 1 < grid.length; ++i)
      for (let j = 0; j + 1 < rows; ++j)
        segments.push(...inSquare([grid[i][j], grid[i + 1][j], grid[i + 1][j + 1], grid[i][j + 1]], level));
    return segments;
  }

  return {ofPart};
})();
