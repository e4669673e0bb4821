// Weighted least squares of one opening that says what its readings leave open: the engine's own way, its names.
//
// `observe(p)` gives what error-free readings would say, {values: [n], slopes: [n][u]}. A direction of the parameters
// that no reading sees is filled from `prior`, {observe, sigmas}, readings of 0 that stand in.

import { tables } from "./look_tables.js";
import { byRows, dot, eigen, inverse, times, turned, zeros } from "./look_numbers.js";

// The whitened slopes taken apart: `left` [k][n], `s` [k], `v` [k][u], one row for each direction, and which are seen.
function decompose(slopes, sigmas) {
  const { least_seen: least, tiny } = tables.fit;
  const u = slopes[0].length;
  const columns = Array.from({ length: u }, (_, j) => slopes.map((row, i) => row[j] / sigmas[i]));
  const shows = Array.from({ length: u }, (_, j) => slopes.reduce((most, row) => Math.max(most, Math.abs(row[j])), 0));
  const most = Math.max(...shows, tiny);
  const norms = columns.map((one, j) => {
    const norm = Math.sqrt(dot(one, one)) || 1;
    const share = shows[j] / most;
    // a parameter of which only a trace shows would pass for determined if it were brought to one
    return share > 0 && share < least ? norm / Math.max(share, tiny) : norm;
  });
  const unit = columns.map((one, j) => one.map((value) => value / norms[j]));
  const { values, vectors } = eigen(byRows(unit, unit));
  const s = values.map((value) => Math.sqrt(Math.max(value, 0)));
  const seen = s.map((value) => value > least);
  const rows = turned(unit);
  const left = vectors.map((direction, k) => (seen[k] ? rows.map((row) => dot(row, direction) / s[k]) : null));
  const v = vectors.map((direction) => direction.map((value, j) => value / norms[j]));
  return { left, s, v, seen, logNorms: norms.reduce((sum, norm) => sum + Math.log(norm), 0) };
}

function stepOf(parts, misfit, damping) {
  const step = new Array(parts.v[0].length).fill(0);
  parts.seen.forEach((seen, k) => {
    if (!seen) return;
    const far = (parts.s[k] / (parts.s[k] ** 2 + damping)) * dot(parts.left[k], misfit);
    for (let j = 0; j < step.length; j += 1) step[j] += far * parts.v[k][j];
  });
  return step;
}

function makerOf(parts, n) {
  const maker = zeros(n, n);
  for (let i = 0; i < n; i += 1) maker[i][i] = 1;
  parts.left.forEach((left) => {
    if (!left) return;
    for (let i = 0; i < n; i += 1) for (let j = 0; j < n; j += 1) maker[i][j] -= left[i] * left[j];
  });
  return maker;
}

function gainOf(parts, n) {
  const gain = zeros(parts.v[0].length, n);
  parts.left.forEach((left, k) => {
    if (!left) return;
    for (let j = 0; j < gain.length; j += 1) {
      const scaled = parts.v[k][j] / parts.s[k];
      for (let i = 0; i < n; i += 1) gain[j][i] += scaled * left[i];
    }
  });
  return gain;
}

const whitened = (observed, values, sigmas) => observed.map((mm, i) => (mm - values[i]) / sigmas[i]);
const plus = (a, b) => a.map((value, i) => value + b[i]);
const small = (step, p, limit) => step.every((value, j) => Math.abs(value) <= limit * (1 + Math.abs(p[j])));

export function solve(observe, observed, sigmas, start, prior) {
  const all = decompose(observe(start).slopes, sigmas).seen.every(Boolean);
  // readings that leave something open would drift along it, to where a trace of it shows in them
  const p = all ? approach(observe, observed, sigmas, start) : approach(
    (at) => beside(observe(at), prior.observe(at)), [...observed, ...prior.sigmas.map(() => 0)], [...sigmas, ...prior.sigmas], start);
  return finish(observe, observed, sigmas, p, prior);
}

const beside = (one, other) => ({ values: [...one.values, ...other.values], slopes: [...one.slopes, ...other.slopes] });

// Damped steps (Levenberg and Marquardt) until the next is small.
function approach(observe, observed, sigmas, start) {
  const { most_steps: most, nearly } = tables.fit;
  /** @type {any[]} */
  let [p, trial, damping, least, parts, misfit] = [start, start, 1e-6, Infinity, null, null];
  for (let n = 0; n < most; n += 1) {
    const { values, slopes } = observe(trial);
    const found = whitened(observed, values, sigmas);
    const sum = dot(found, found);
    if (sum <= least) {
      [p, least, misfit, parts] = [trial, sum, found, decompose(slopes, sigmas)];
      damping *= 0.1;
    } else {
      damping = Math.max(damping, 1e-7) * 8;
    }
    const step = stepOf(parts, misfit, damping);
    trial = plus(p, step);
    // a step that only heavy damping keeps small is no sign of the end
    if (small(step, p, nearly) && damping <= 0.01) break;
  }
  return p;
}

// Full steps to the end, with stand-ins where the readings see nothing, and the final statistics.
function finish(observe, observed, sigmas, start, prior) {
  const n = observed.length;
  let p = start;
  /** @type {any[]} */
  let [parts, gain, spread] = [];
  for (let turn = 0; turn < 8; turn += 1) {
    const { values, slopes } = observe(p);
    parts = decompose(slopes, sigmas);
    gain = gainOf(parts, n);
    spread = zeros(p.length, p.length);
    let step = stepOf(parts, whitened(observed, values, sigmas), 0);
    if (!parts.seen.every(Boolean)) {
      const filled = standIn(parts, prior, p, step, gain);
      [gain, spread, step] = [filled.gain, filled.spread, plus(step, filled.step)];
    }
    p = plus(p, step);
    if (small(step, p, tables.fit.settled)) break;
  }
  const residuals = observe(p).values.map((value, i) => value - observed[i]);
  return {
    parameters: p, residuals, gain, sigmas,
    covariance: byRows(gain, gain).map((row, i) => plus(row, spread[i])),
    maker: makerOf(parts, n),
    rank: parts.seen.filter(Boolean).length,
    open: parts.v.filter((_, k) => !parts.seen[k]),
    squareSum: residuals.reduce((sum, residual, i) => sum + (residual / sigmas[i]) ** 2, 0),
  };
}

// Gain and covariance with the open directions filled, and the step that fills them.
function standIn(parts, prior, p, step, gain) {
  const { values, slopes } = prior.observe(p);
  const weighted = slopes.map((row, i) => row.map((value) => value / prior.sigmas[i]));
  const open = parts.v.filter((_, k) => !parts.seen[k]).map((one) => {
    const norm = Math.max(Math.sqrt(dot(one, one)), tables.fit.tiny);
    return one.map((value) => value / norm);
  });
  const seenByPrior = byRows(open, weighted); // [open][prior]
  const normal = byRows(seenByPrior, seenByPrior);
  // a direction that nothing speaks for at all stays put, all but free
  const inner = inverse(normal.map((row, i) => row.map((value, j) => (i === j ? value + tables.fit.all_but_free : value))));
  const openTurned = turned(open); // [u][open]
  const half = byRows(openTurned, inner); // [u][open]; the inverse is symmetric
  const pull = byRows(half, turned(seenByPrior)); // [u][prior]
  const short = values.map((value, i) => -value / prior.sigmas[i] - dot(weighted[i], step));
  const passed = byRows(weighted, turned(gain)); // [prior][n]
  const passedTurned = turned(passed);
  return {
    step: times(pull, short),
    gain: gain.map((row, j) => row.map((value, i) => value - dot(pull[j], passedTurned[i]))),
    spread: byRows(half, openTurned),
  };
}

// The model made linear at `p`: `z` whitened with an error's own sign, `maker`, and the readings' log evidence.
export function madeLinear({ values, slopes }, observed, sigmas) {
  const parts = decompose(slopes, sigmas);
  const maker = makerOf(parts, observed.length);
  const z = times(maker, whitened(observed, values, sigmas));
  const volume = parts.s.reduce((sum, s, k) => sum + (parts.seen[k] ? Math.log(s) : 0), parts.logNorms);
  const scatter = sigmas.reduce((sum, sigma) => sum + Math.log(sigma), 0);
  return { z, maker, logEvidence: -scatter - volume - dot(z, z) / 2 };
}

export const redundancyOf = (fit, i) => (fit.maker[i][i] < 1e-9 ? 0 : fit.maker[i][i]);

// How many directions a list of rows spans, none shorter than `least` counted.
export const rankOf = (rows, least) =>
  rows.length ? eigen(byRows(rows, rows)).values.filter((value) => Math.sqrt(Math.max(value, 0)) > least).length : 0;

export const spreadOf = (slopes, covariance) => slopes.map((row) => dot(row, times(covariance, row)));
