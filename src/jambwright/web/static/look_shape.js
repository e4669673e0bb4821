// The four-cornered opening: three free corners (the bottom left is the origin), four bows and, where widths were read there,
// the quarter points of its jambs; what readings of it say. `shape` is one of the tables that the engine gives.

import { kindOf, tables } from "./look_tables.js";

const SHORTEST = 1e-9;
const sum = (a, b, by = 1) => a.map((value, i) => value + by * b[i]);

// Vertices [m][2] and how they move with the parameters, [m][2][u].
export function boundary(shape, p) {
  const { vertices: many, parameters, corners, mid_edges: mids, points } = shape;
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
  // a sum of vertices times weights, and so far along x as its own parameter says
  for (const [point, of, own, into] of points) {
    const whole = (values) => of.reduce((all, [vertex, weight]) => sum(all, values(vertex), weight), values(of[0][0]).map(() => 0));
    const [x, y] = whole((vertex) => vertices[vertex]);
    vertices[point] = [x + into * p[own], y];
    slopes[point] = [0, 1].map((axis) => whole((vertex) => slopes[vertex][axis]));
    slopes[point][0][own] += into;
  }
  return { vertices, slopes };
}

// What error-free readings would say, and how that moves with the parameters.
export function observe(shape, places, p) {
  const { bows, steps, offsets, distances } = shape;
  const { vertices, slopes } = boundary(shape, p);
  /** @type {{ values: number[], slopes: number[][] }} */
  const found = { values: [], slopes: [] };
  for (const place of places) {
    const own = bows[place] ?? steps[place];
    if (own !== undefined) {
      found.values.push(p[own]);
      found.slopes.push(p.map((_, j) => (j === own ? 1 : 0)));
    } else if (place in offsets) {
      const [from, to, axis] = offsets[place];
      found.values.push(vertices[to][axis] - vertices[from][axis]);
      found.slopes.push(sum(slopes[to][axis], slopes[from][axis], -1));
    } else {
      const [from, to] = distances[place];
      const [x, y] = sum(vertices[to], vertices[from], -1);
      const length = Math.hypot(x, y);
      const safe = Math.max(length, SHORTEST);
      const [[toX, toY], [fromX, fromY]] = [slopes[to], slopes[from]];
      found.values.push(length);
      found.slopes.push(p.map((_, j) => (x * (toX[j] - fromX[j]) + y * (toY[j] - fromY[j])) / safe));
    }
  }
  return found;
}

// The level rectangle that most lengths agree with, each misfit counted up to a cap.
export function roughly(shape, places, read) {
  const { parameters, edges: [wide, high], corners, cap_mm: cap } = shape;
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
export const edges = (shape, p) => shape.edges.map((parameter) => Math.abs(p[parameter]));

export const cornersOf = (shape, p) => named(shape, shape.corners, p);
export const midEdgesOf = (shape, p) => named(shape, shape.mid_edges, p);

function named(shape, vertices, p) {
  const all = boundary(shape, p).vertices;
  return Object.fromEntries(Object.entries(vertices).map(([name, [vertex]]) => [name, all[vertex]]));
}
