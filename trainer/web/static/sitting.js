// Keeps each answer as it is given, and tells the time that is left. The page works without it.
const form = document.querySelector("[data-autosave]");
const saved = document.querySelector("[data-saved]");
const PAUSE = 700;
const RETRY = [2000, 4000, 8000, 15000];

let timer = 0;
let wanted = 0; // number of the newest change
let kept = 0; // number of the newest change that the server has kept
let sending = false;
let tries = 0;
let refused = false;

function fresh() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  form.elements.submission_id.value = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
}

function complete() {
  const given = new FormData(form);
  const places = [...form.querySelectorAll("select[name^=place_]")];
  if (places.length) return places.every((place) => place.value);
  return ["choice", "value", "date"].some((name) => (given.get(name) || "").trim());
}

async function send() {
  if (sending || kept === wanted) return;
  if (!complete() && !form.querySelector("input[type=checkbox]")) {
    refused = true;
    saved.textContent = "Not saved: the answer is not complete. What was saved before still counts.";
    return;
  }
  sending = true;
  const now = wanted;
  try {
    const answer = await fetch(form.action, {
      method: "POST",
      body: new FormData(form),
      headers: { Accept: "application/json" },
      redirect: "error",
    });
    const said = await answer.json();
    if (answer.ok) {
      kept = now;
      tries = 0;
      saved.textContent = "Saved. You can still change it.";
    } else if (answer.status < 500) {
      kept = now;
      refused = true;
      saved.textContent = `Not saved: ${said.what}`;
    } else {
      throw new Error(answer.status);
    }
  } catch {
    saved.textContent = "Not saved yet: no connection. Trying again by itself.";
    clearTimeout(timer);
    timer = setTimeout(send, RETRY[Math.min(tries++, RETRY.length - 1)] + Math.random() * 500);
    return;
  } finally {
    sending = false;
  }
  if (kept !== wanted) send();
}

if (form) {
  form.addEventListener("input", () => {
    fresh();
    wanted += 1;
    refused = false;
    saved.textContent = "Saving…";
    clearTimeout(timer);
    timer = setTimeout(send, PAUSE + Math.random() * 300);
  });
  form.addEventListener("submit", () => {
    clearTimeout(timer);
    kept = wanted;
  });
  window.addEventListener("pageshow", fresh);
  window.addEventListener("beforeunload", (event) => {
    if (kept !== wanted && !refused) event.preventDefault();
  });
}

const clock = document.querySelector("[data-clock]");
if (clock) {
  const ends = performance.now() + Number(clock.dataset.clock) * 1000;
  const words = clock.querySelector("[data-clock-words]");
  const aloud = document.querySelector("[data-clock-said]");
  const warned = new Set();
  const end = clock.querySelector("time");
  end.textContent = new Date(end.dateTime).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  const tell = () => {
    const left = Math.max(0, (ends - performance.now()) / 1000);
    const minutes = Math.ceil(left / 60);
    words.textContent = left ? `${minutes} ${minutes === 1 ? "minute" : "minutes"} left` : "Time is over";
    for (const mark of [10, 5, 1]) {
      if (minutes <= mark && minutes > 0 && !warned.has(mark)) {
        if (Number(clock.dataset.clock) / 60 > mark) aloud.textContent = `${words.textContent}.`;
        warned.add(mark);
      }
    }
    if (!left) {
      aloud.textContent = "Time is over. What you gave is saved.";
      clearInterval(beat);
      setTimeout(() => location.reload(), 32000);
    }
  };
  const beat = setInterval(tell, 5000);
  tell();
}
