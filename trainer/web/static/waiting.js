// Says when a pause nears its end, and when an assessment was opened. The pages work without it.
for (const time of document.querySelectorAll("time[data-local]")) {
  time.textContent = new Date(time.dateTime).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
}

const pause = document.querySelector("[data-pause]");
if (pause) {
  const seconds = Number(pause.dataset.pause);
  if (seconds > 90) {
    setTimeout(() => { pause.textContent = "One minute of your pause is left."; }, (seconds - 60) * 1000);
  }
  setTimeout(() => location.reload(), (seconds + 1) * 1000);
}

const waits = document.querySelector("[data-waits]");
if (waits) {
  const said = waits.querySelector("[data-waits-said]");
  const look = async () => {
    try {
      const answer = await fetch(waits.dataset.waits, { headers: { Accept: "application/json" } });
      const { state } = await answer.json();
      if (state === "waiting") return;
      said.textContent = state === "opened" ? "It is open for you now. Press Look again to go on." : "This has changed. Press Look again.";
      clearInterval(beat);
    } catch {
      // no connection: the next look tells
    }
  };
  const beat = setInterval(look, 8000);
}
