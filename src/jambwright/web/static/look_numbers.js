// Small dense matrices as lists of rows, sums of chances by their logarithms, and figures as the engine writes them.

const MOST_SWEEPS = 60;
const FLAT = 1e-30;

export const dot = (a, b) => {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += a[i] * b[i];
  return sum;
};
export const times = (matrix, vector) => matrix.map((row) => dot(row, vector));
export const turned = (matrix) => matrix[0].map((_, j) => matrix.map((row) => row[j]));
export const zeros = (rows, columns) => Array.from({ length: rows }, () => new Array(columns).fill(0));

// a · bᵀ
export const byRows = (a, b) => a.map((row) => b.map((other) => dot(row, other)));

// Logarithm of the sum of what these are logarithms of.
export function logSum(logs) {
  let most = -Infinity;
  for (const log of logs) if (log > most) most = log;
  if (most === -Infinity) return most;
  let sum = 0;
  for (const log of logs) sum += Math.exp(log - most);
  return most + Math.log(sum);
}

export function largest(values) {
  let best = 0;
  for (let i = 1; i < values.length; i += 1) if (values[i] > values[best]) best = i;
  return best;
}

// Eigenvalues of a symmetric matrix and its directions as rows, by plane rotations (Jacobi's method, textbook).
export function eigen(symmetric) {
  const a = symmetric.map((row) => row.slice());
  const n = a.length;
  const vectors = zeros(n, n).map((row, i) => row.map((_, j) => (i === j ? 1 : 0)));
  const whole = a.reduce((sum, row) => sum + dot(row, row), 0);
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep += 1) {
    let off = 0;
    for (let p = 0; p < n; p += 1) for (let q = p + 1; q < n; q += 1) off += a[p][q] ** 2;
    if (off <= FLAT * whole) break;
    for (let p = 0; p < n; p += 1) for (let q = p + 1; q < n; q += 1) if (a[p][q] !== 0) rotate(a, vectors, p, q);
  }
  return { values: a.map((row, i) => row[i]), vectors };
}

function rotate(a, vectors, p, q) {
  const theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
  const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < a.length; k += 1) {
    const x = a[k][p];
    const y = a[k][q];
    a[k][p] = c * x - s * y;
    a[k][q] = s * x + c * y;
  }
  turn(a[p], a[q], c, s);
  turn(vectors[p], vectors[q], c, s);
}

function turn(first, second, c, s) {
  for (let k = 0; k < first.length; k += 1) {
    const x = first[k];
    const y = second[k];
    first[k] = c * x - s * y;
    second[k] = s * x + c * y;
  }
}

// Inverse of a small matrix, by elimination with the largest pivot first.
export function inverse(matrix) {
  const n = matrix.length;
  const a = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let k = 0; k < n; k += 1) {
    let best = k;
    for (let i = k + 1; i < n; i += 1) if (Math.abs(a[i][k]) > Math.abs(a[best][k])) best = i;
    [a[k], a[best]] = [a[best], a[k]];
    const pivot = a[k][k];
    a[k] = a[k].map((value) => value / pivot);
    for (let i = 0; i < n; i += 1) {
      const factor = a[i][k];
      if (i !== k && factor !== 0) a[i] = a[i].map((value, j) => value - factor * a[k][j]);
    }
  }
  return a.map((row) => row.slice(n));
}

// To the whole number, halves to the even one, as the engine writes.
export function rounded(value) {
  const whole = Math.floor(value);
  const up = value - whole > 0.5 || (value - whole === 0.5 && whole % 2 !== 0);
  return String(up ? whole + 1 : whole);
}

export const upper = (text) => text[0].toUpperCase() + text.slice(1);
