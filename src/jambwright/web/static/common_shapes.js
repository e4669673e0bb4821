// Shapes to start from, of windows and doors; all seen from outside.

const L = { opens: "side_hung_left" };
const R = { opens: "side_hung_right" };
const PAIR = { opens: "pair_left" };
const SASH = { opens: "vertical_slider" };
const SLIDER = (panes) => ({ opens: `slider_${panes}` });
const TOP = { opens: "top_hung" };
const FIXED = { opens: "fixed" };
const over = (upper, lower) => ({ down: [{ ...upper, share: 1 }, { ...lower, share: 2 }] });

export const SHAPES = {
  window: {
    fixed: FIXED,
    left: L,
    right: R,
    top: TOP,
    left_fixed: { across: [L, FIXED] },
    fixed_right: { across: [FIXED, R] },
    left_right: { across: [L, R] },
    pair: PAIR,
    sash: SASH,
    sashes: { across: [SASH, SASH] },
    left_fixed_right: { across: [L, FIXED, R] },
    top_over_fixed: over(TOP, FIXED),
    top_over_pair: over(TOP, { across: [L, R] }),
    tops_over_fixed: over({ across: [TOP, TOP] }, { across: [FIXED, FIXED] }),
  },
  door: {
    left: L,
    right: R,
    left_right: { across: [L, R] },
    pair: PAIR,
    slider_ox: SLIDER("ox"),
    slider_xo: SLIDER("xo"),
    slider_oxo: SLIDER("oxo_left"),
    slider_oxxo: SLIDER("oxxo"),
    fixed_pair_fixed: { across: [FIXED, { ...PAIR, share: 3 }, FIXED] },
    left_fixed: { across: [{ ...L, share: 2 }, FIXED] },
    fixed_right: { across: [FIXED, { ...R, share: 2 }] },
    fixed_over_left: { down: [{ ...FIXED, share: 1 }, { ...L, share: 4 }] },
    fixed_over_right: { down: [{ ...FIXED, share: 1 }, { ...R, share: 4 }] },
  },
};
