// Shapes to start from, of windows and doors; all seen from outside.

const L = { opens: "side_hung_left" };
const R = { opens: "side_hung_right" };
const PAIR = { opens: "pair_left" };
const SASH = { opens: "vertical_slider" };
const SLIDER = (panes) => ({ opens: `slider_${panes}` });
const FOLD = (fold_left, fold_right) => ({ opens: "bi_fold", fold_left, fold_right });
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
    slab_left: { opens: "slab_left" },
    slab_right: { opens: "slab_right" },
    slab_fixed: { across: [{ opens: "slab_left", share: 2 }, FIXED] },
    stable_left: { opens: "stable_left" },
    stable_right: { opens: "stable_right" },
    slider_ox: SLIDER("ox"),
    slider_xo: SLIDER("xo"),
    slider_oxo: SLIDER("oxo_left"),
    slider_oxxo: SLIDER("oxxo"),
    fold_three: FOLD(3, 0),
    fold_two_one: FOLD(2, 1),
    fixed_pair_fixed: { across: [FIXED, { ...PAIR, share: 3 }, FIXED] },
    left_fixed: { across: [{ ...L, share: 2 }, FIXED] },
    fixed_right: { across: [FIXED, { ...R, share: 2 }] },
    fixed_over_all: { down: [{ ...FIXED, share: 1 }, { share: 4, across: [FIXED, { ...L, share: 2 }, FIXED] }] },
    fixed_over_left: { down: [{ ...FIXED, share: 1 }, { ...L, share: 4 }] },
    fixed_over_right: { down: [{ ...FIXED, share: 1 }, { ...R, share: 4 }] },
  },
};
