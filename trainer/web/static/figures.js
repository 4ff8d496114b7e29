// A tap on a part of the drawing picks its letter below. The page works without it.
for (const box of document.querySelectorAll(".figure")) {
  const form = box.closest("form");
  const radio = (letter) => form?.querySelector(`input[name="choice"][value="${letter}" i]`);
  const parts = [...box.querySelectorAll(".fig-region")].filter((part) => radio(part.dataset.region));
  box.classList.toggle("tap", parts.length > 0);
  for (const part of parts.length ? [box.querySelector("svg")] : []) {
    part.addEventListener("click", (event) => {
      const hit = event.target.closest("[data-region]");
      const picked = hit && radio(hit.dataset.region);
      if (!picked) return;
      picked.checked = true;
      picked.dispatchEvent(new Event("input", { bubbles: true }));
      picked.focus({ preventScroll: true });
    });
  }
}
