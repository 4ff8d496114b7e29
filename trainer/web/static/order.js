// Move steps with buttons instead of numbers. The page works without it: then places are chosen.
for (const box of document.querySelectorAll("[data-order]")) {
  const list = box.querySelector(".order");
  const aloud = box.querySelector("[data-order-said]");
  const steps = () => [...list.children];
  const place = (step) => step.querySelector("select");
  const isOut = (step) => place(step).value === "out";
  const words = (step) => step.querySelector("label").textContent;

  const rank = (step) => (isOut(step) ? 999 : Number(place(step).value) || 500);
  list.append(...steps().sort((a, b) => rank(a) - rank(b)));
  const help = box.querySelector(".help");
  if (help) help.textContent = "Move the steps until the first stands on top. If a step does not belong, leave it out.";

  const settle = () => {
    let number = 0;
    const inside = steps().filter((step) => !isOut(step)).length;
    for (const step of steps()) {
      const [up, down, out] = step.querySelectorAll("button");
      if (!isOut(step)) place(step).value = String(++number);
      step.querySelector(".step-number").textContent = isOut(step) ? "–" : `${number}.`;
      step.classList.toggle("out", isOut(step));
      up.disabled = isOut(step) || number === 1;
      down.disabled = isOut(step) || number === inside;
      out.textContent = isOut(step) ? "Put back" : "Leave out";
      out.setAttribute("aria-label", `${out.textContent}: ${words(step)}`);
    }
  };

  const tell = (step, focus) => {
    settle();
    const inside = steps().filter((one) => !isOut(one)).length;
    aloud.textContent = isOut(step)
      ? `${words(step)}: left out.`
      : `${words(step)}: now ${place(step).value} of ${inside}.`;
    place(step).dispatchEvent(new Event("input", { bubbles: true }));
    (focus.disabled ? step.querySelector("button:not(:disabled)") : focus).focus();
  };

  const button = (step, sign, label, act) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "button second small";
    made.textContent = sign;
    made.setAttribute("aria-label", `${label}: ${words(step)}`);
    made.addEventListener("click", () => {
      act();
      tell(step, made);
    });
    return made;
  };

  for (const step of steps()) {
    place(step).hidden = true;
    const number = document.createElement("span");
    number.className = "step-number";
    number.setAttribute("aria-hidden", "true");
    const moves = document.createElement("span");
    moves.className = "moves";
    moves.append(
      button(step, "↑", "Up", () => step.previousElementSibling?.before(step)),
      button(step, "↓", "Down", () => step.nextElementSibling?.after(step)),
      button(step, "Leave out", "Leave out", () => {
        if (isOut(step)) {
          place(step).value = "1";
          const first = steps().find((one) => one !== step && isOut(one));
          if (first) first.before(step);
        } else {
          place(step).value = "out";
          list.append(step);
        }
      }),
    );
    step.prepend(number);
    step.append(moves);
  }
  settle();
}
