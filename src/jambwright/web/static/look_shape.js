// The four-cornered opening: three free corners (the bottom left is the origin) and four bows; what readings of it say.

import { kindOf, tables } from "./look_tables.js";

const SHORTEST = 1e-9;
const sum = (a, b, by = 1) => a.map((value, i) => value + by * b[i]);

// Vertices [m][2] and how they move with the parameters, [m][2][u].
export function boundary(p) {
  const { vertices: many, parameters, corners, mid_edges: mids } = tables.shape;
  const none = new Array(parameters).fill(0);
  const vertices = Array.from({ length: many }, () => [0, 0]);
  const slopes = Array.from({ length: many }, () => [none, none]);
  for (const [vertex, first] of Object.values(corners)) {
    if (first === null) continue;
    vertices[vertex] = [p[first], p[first + 1]];
    slopes[vertex] = [first, first + 1].map((own) => none.map((_, j) => (j === own ? 1 : 0)));
  }
  for (const [mid, a, b, bow, turn] of Object.values(mids)) {
    const line = sum(vertices[b], vertices[a], -1);
    const moved = [0, 1].map((axis) => sum(slopes[b][axis], slopes[a][axis], -1));
    const length = Math.max(Math.hypot(...line), SHORTEST);
    const unit = line.map((value) => value / length);
    const along = sum(moved[0].map((value) => value * unit[0]), moved[1], unit[1]);
    const turning = [0, 1].map((axis) => sum(moved[axis], along, -unit[axis]).map((value) => value / length));
    const inward = [-unit[1] * turn, unit[0] * turn];
    const inwardMoved = [turning[1].map((value) => -value * turn), turning[0].map((value) => value * turn)];
    vertices[mid] = [0, 1].map((axis) => (vertices[a][axis] + vertices[b][axis]) / 2 + p[bow] * inward[axis]);
    slopes[mid] = [0, 1].map((axis) => none.map((_, j) =>
      (slopes[a][axis][j] + slopes[b][axis][j]) / 2 + p[bow] * inwardMoved[axis][j] + (j === bow ? inward[axis] : 0)));
  }
  return { vertices, slopes };
}

// What error-free readings would say, and how that moves with the parameters.
export function observe(places, p) {
  const { bows, offsets, distances } = tables.shape;
  const { vertices, slopes } = boundary(p);
  // a point is a sum of vertices times weights
  const point = (of, axis) => of.reduce((all, [vertex, weight]) => all + weight * vertices[vertex][axis], 0);
  const alone = (of) => of.length === 1 && of[0][1] === 1;
  const moved = (of, axis) => (alone(of) ? slopes[of[0][0]][axis]
    : p.map((_, j) => of.reduce((all, [vertex, weight]) => all + weight * slopes[vertex][axis][j], 0)));
  /** @type {{ values: number[], slopes: number[][] }} */
  const found = { values: [], slopes: [] };
  for (const place of places) {
    if (place in bows) {
      found.values.push(p[bows[place]]);
      found.slopes.push(p.map((_, j) => (j === bows[place] ? 1 : 0)));
    } else if (place in offsets) {
      const [from, to, axis] = offsets[place];
      found.values.push(vertices[to][axis] - vertices[from][axis]);
      found.slopes.push(sum(slopes[to][axis], slopes[from][axis], -1));
    } else {
      const [from, to] = distances[place];
      const [x, y] = [0, 1].map((axis) => point(to, axis) - point(from, axis));
      const length = Math.hypot(x, y);
      const safe = Math.max(length, SHORTEST);
      const [toX, toY, fromX, fromY] = [moved(to, 0), moved(to, 1), moved(from, 0), moved(from, 1)];
      found.values.push(length);
      found.slopes.push(p.map((_, j) => (x * (toX[j] - fromX[j]) + y * (toY[j] - fromY[j])) / safe));
    }
  }
  return found;
}

// The level rectangle that most lengths agree with, each misfit counted up to a cap.
export function roughly(places, read) {
  const { parameters, edges: [wide, high], corners, cap_mm: cap } = tables.shape;
  const of = (kind) => read.filter((_, i) => kindOf(places[i]) === kind);
  const [widths, heights, diagonals] = tables.lengths.map(of);
  const off = (figures, expected) => figures.reduce((all, mm) => all + Math.min(Math.abs(mm - expected), cap), 0);
  let best = { misfit: Infinity };
  for (const width of widths) {
    for (const height of heights) {
      const misfit = off(widths, width) + off(heights, height) + off(diagonals, Math.hypot(width, height));
      if (misfit < best.misfit) best = { misfit, width, height };
    }
  }
  const p = new Array(parameters).fill(0);
  p[wide] = best.width;
  p[high] = best.height;
  const across = corners.top_right[1];
  p[across] = best.width;
  p[across + 1] = best.height;
  return p;
}

// About how long a level and a plumb line run: along the sill, up a jamb.
export const edges = (p) => tables.shape.edges.map((parameter) => Math.abs(p[parameter]));

export const cornersOf = (p) => named(tables.shape.corners, p);
export const midEdgesOf = (p) => named(tables.shape.mid_edges, p);

function named(vertices, p) {
  const all = boundary(p).vertices;
  return Object.fromEntries(Object.entries(vertices).map(([name, [vertex]]) => [name, all[vertex]]));
}
