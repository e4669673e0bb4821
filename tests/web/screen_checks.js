// What a person would find wrong with a screen, measured. Each function gives a list, empty when all is well.
({
  // Something to press that is smaller than a gloved finger, or than a bare one. There a link within a sentence is
  // text, and an opening on the elevation stands in the list below too (WCAG 2.2, 2.5.8: inline, equivalent).
  small(least = 47.5) {
    return [...document.querySelectorAll("a, button, input, select, textarea, summary, .dim .tap")]
      .filter((e) => e.checkVisibility() && e.type !== "file" && !e.closest(".visually-hidden, .skip"))
      .filter((e) => least > 45 || !e.matches("p a:not(.button, .fill), svg a"))
      .map((e) => [e.outerHTML.slice(0, 80), e.getBoundingClientRect()])
      .filter(([, box]) => box.width && (box.width < least || box.height < least))
      .map(([html, box]) => `${html} ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`);
  },

  // The page is wider than the screen.
  wide() {
    const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    return over > 0 ? [`${over} px too wide`] : [];
  },

  // Text that runs out of what holds it, or is cut off there without a mark.
  cut() {
    const own = (e) => [...e.childNodes].some((child) => child.nodeType === Node.TEXT_NODE && child.data.trim());
    return [...document.querySelectorAll("body *:not(svg, svg *, select, option, input, textarea)")]
      .filter((e) => e.checkVisibility() && e.clientWidth && e.scrollWidth > e.clientWidth + 1 && !e.closest(".visually-hidden, .skip, thead"))
      .filter((e) => {
        const { overflowX, textOverflow, clipPath } = getComputedStyle(e);
        if (clipPath !== "none" || e.parentElement && getComputedStyle(e.parentElement).clipPath !== "none") return false;
        return !["auto", "scroll"].includes(overflowX) && textOverflow !== "ellipsis" && (own(e) || overflowX === "visible");
      })
      .filter((e) => ![...e.querySelectorAll("*")].some((inner) => getComputedStyle(inner).textOverflow === "ellipsis"))
      .map((e) => `${e.outerHTML.slice(0, 80)} ${e.scrollWidth} in ${e.clientWidth} px`);
  },

  // Figures with a contrast under 7:1 on what is behind them.
  faint() {
    const rgb = (text) => text.match(/[\d.]+/g).map(Number);
    const linear = (v) => (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    const light = (colour) => colour.slice(0, 3)
      .reduce((sum, v, n) => sum + linear(v / 255) * [0.2126, 0.7152, 0.0722][n], 0);
    const ratio = (one, other) => {
      const [dark, bright] = [light(one), light(other)].sort((p, q) => p - q);
      return (bright + 0.05) / (dark + 0.05);
    };
    const ground = (e) => {
      for (; e; e = e.parentElement) {
        const colour = rgb(getComputedStyle(e).backgroundColor);
        if (colour.length < 4 || colour[3] > 0.99) return colour;
      }
      return [255, 255, 255];
    };
    const figures = ".typed, .keys button:not(:disabled), .repeats, .count, .figure, td, .sent a, .status, .word";
    return [...document.querySelectorAll(figures)].filter((e) => e.checkVisibility()).map((e) => {
      const drawn = Boolean(e.ownerSVGElement);
      const ink = rgb(drawn ? getComputedStyle(e).fill : getComputedStyle(e).color);
      const behind = drawn ? rgb(getComputedStyle(e.parentElement.querySelector(".label")).fill) : ground(e);
      return [e.outerHTML.slice(0, 80), ratio(ink, behind)];
    }).filter(([, contrast]) => contrast < 7).map(([html, contrast]) => `${html} ${contrast.toFixed(2)}`);
  },
})
