// A face of the house across the whole page, and back: by its button, or by a press on the wall.

document.querySelector(".faces")?.addEventListener("click", (/** @type {any} */ { target }) => {
  const face = (target.closest("[data-larger]") ?? target.closest(".wall"))?.closest("figure");
  if (!face) return;
  const larger = face.classList.toggle("larger");
  face.querySelector("[data-larger]").setAttribute("aria-pressed", String(larger));
  face.scrollIntoView({ block: "nearest" });
});
