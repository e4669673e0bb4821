// The outline of an opening from what has been read so far, and the same outline with its crookedness made large.
// Seen from outside; x to the right, y up; mm.

const mean = (values) => (values?.length ? values.reduce((sum, v) => sum + v, 0) / values.length : null);
const SHOWN_SHARE = 0.06;
const LARGEST_FACTOR = 40;

const USUAL_MM = { window: [1200, 1200], door: [900, 2100] }; // drawn where nothing is read yet, never kept

// Corners and mid-edges from single readings: what is not known yet is taken as square and straight.
export function roughOutline(taken, kind) {
  const [usualWidth, usualHeight] = USUAL_MM[kind ?? "window"];
  const of = (place) => mean(taken[place]);
  const width = of("width bottom") ?? of("width top") ?? of("width middle") ?? usualWidth;
  const height = of("height left") ?? of("height right") ?? of("height centre") ?? usualHeight;
  const top = of("width top") ?? width;
  const right = of("height right") ?? height;
  const lean = leanOf(of, width, height);
  const sill = of("level sill") ?? 0;
  const corners = {
    bottom_left: [0, 0],
    bottom_right: [width, sill],
    top_right: [lean + top + (width - top) * (of("plumb left") === null ? 0.5 : 0), sill + right],
    top_left: [lean + (width - top) * (of("plumb left") === null ? 0.5 : 0), height],
  };
  return { corners, mids: mids(corners, of) };
}

function leanOf(of, width, height) {
  if (of("plumb left") !== null) return of("plumb left");
  const [rising, falling] = [of("diagonal rising"), of("diagonal falling")];
  if (rising === null || falling === null) return 0;
  return (rising ** 2 - falling ** 2) / (4 * width) - ((of("level sill") ?? 0) * height) / width;
}

function mids(corners, of) {
  const half = (a, b) => [(corners[a][0] + corners[b][0]) / 2, (corners[a][1] + corners[b][1]) / 2];
  const [left, right] = [half("bottom_left", "top_left"), half("bottom_right", "top_right")];
  const [sill, head] = [half("bottom_left", "bottom_right"), half("top_left", "top_right")];
  return {
    left: [left[0] + (of("bow left") ?? 0), left[1]],
    right: [right[0] - (of("bow right") ?? 0), right[1]],
    sill: [sill[0], sill[1] + (of("bow sill") ?? 0)],
    head: [head[0], head[1] - (of("bow head") ?? 0)],
  };
}

export const fromLook = (found) => ({ corners: found.corners_mm, mids: found.mid_edges_mm });

const AROUND = ["bottom_left", "sill", "bottom_right", "right", "top_right", "head", "top_left", "left"];

// Points around, each moved away from the mean rectangle by a factor, and the factor itself.
export function exaggerated(outline) {
  const points = AROUND.map((name) => outline.corners[name] ?? outline.mids[name]);
  const { corners: c } = outline;
  const box = {
    left: (c.bottom_left[0] + c.top_left[0]) / 2,
    right: (c.bottom_right[0] + c.top_right[0]) / 2,
    low: (c.bottom_left[1] + c.bottom_right[1]) / 2,
    high: (c.top_left[1] + c.top_right[1]) / 2,
  };
  const [cx, cy] = [(box.left + box.right) / 2, (box.low + box.high) / 2];
  const straight = AROUND.map((name) => [
    name.includes("left") ? box.left : name.includes("right") ? box.right : cx,
    name.includes("bottom") || name === "sill" ? box.low : name.includes("top") || name === "head" ? box.high : cy,
  ]);
  const far = Math.max(...points.map(([x, y], n) => Math.max(Math.abs(x - straight[n][0]), Math.abs(y - straight[n][1]))));
  const size = Math.min(box.right - box.left, box.high - box.low);
  const factor = far > 0.05 ? Math.max(1, Math.min(LARGEST_FACTOR, Math.floor((SHOWN_SHARE * size) / far))) : 1;
  return {
    factor,
    box,
    points: points.map(([x, y], n) => {
      const [sx, sy] = straight[n];
      return [sx + (x - sx) * factor, sy + (y - sy) * factor];
    }),
  };
}
