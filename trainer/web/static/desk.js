// Narrow the list of people as letters are typed. Without it the form asks the server.
const form = document.querySelector("[data-desk]");
const list = document.querySelector("[data-desk-list]");
const said = document.querySelector("[data-desk-said]");

if (form && list && said) {
  const box = form.querySelector("input");
  const whole = form.dataset.all === "yes" ? [...list.children] : null;
  // As the server compares them: without accents; apostrophes are left out, or part a name.
  const folded = (text, mark = "") =>
    text.normalize("NFKD").replace(/\p{M}/gu, "").replace(/['’`´ʼ]/g, mark).replace(/[\s‐‑–-]+/g, " ").trim().toLowerCase();
  const begins = (name, letters) => ["", " "].some((mark) => ` ${folded(name, mark)}`.includes(` ${letters}`));
  const links = () => [...list.querySelectorAll("a")];
  let latest = 0; // number of the newest letters

  const tell = () => {
    const count = links().length;
    said.textContent = box.value.trim() ? `${count} with “${box.value.trim()}”.` : "";
  };

  // Whoever already stands on a name keeps standing on it, or goes back to the letters.
  const show = (rows) => {
    const here = list.contains(document.activeElement) ? document.activeElement.href : "";
    list.replaceChildren(...rows);
    if (here) (links().find((link) => link.href === here) ?? box).focus();
    tell();
  };

  const narrow = async () => {
    const letters = folded(box.value.trim());
    if (whole) {
      show(whole.filter((row) => !letters || begins(row.textContent.trim(), letters)));
      return;
    }
    const turn = latest;
    const address = new URL(form.action);
    address.search = new URLSearchParams({ q: box.value.trim(), part: "people" });
    try {
      const answer = await fetch(address, { redirect: "error" });
      const html = answer.ok ? await answer.text() : "";
      if (turn !== latest || !html) return;
      const read = new DOMParser().parseFromString(`<ul>${html}</ul>`, "text/html");
      show(read.querySelector("ul").children);
    } catch {
      // No network, or signed out: Enter still asks the server by the form.
    }
  };

  let waiting = 0;
  box.addEventListener("input", () => {
    clearTimeout(waiting);
    latest += 1;
    if (whole) narrow();
    else waiting = setTimeout(narrow, 150);
  });
  form.addEventListener("submit", (event) => {
    const found = links();
    if (whole && found.length === 1) {
      event.preventDefault();
      found[0].click();
    }
  });
  box.addEventListener("keydown", (event) => {
    const first = links()[0];
    if (event.key !== "ArrowDown" || !first) return;
    event.preventDefault();
    first.focus();
  });
  list.addEventListener("keydown", (event) => {
    const all = links();
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    (all[all.indexOf(document.activeElement) + step] ?? box).focus();
  });
}
