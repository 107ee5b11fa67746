// The effect of a change, as one types. Without this the button shows it.
import { whenTyped } from "./typed.js";

const form = document.getElementById("adjust");
const effect = document.getElementById("effect");
const waiting = document.getElementById("waiting");
let later, running;

async function reckon() {
  running?.abort();
  running = new AbortController();
  waiting.textContent = waiting.dataset.waiting;
  const sent = new URLSearchParams([...new FormData(form)].filter(([, value]) => typeof value === "string"));
  try {
    const answer = await fetch(form.dataset.effect, { method: "POST", body: sent, signal: running.signal, headers: { "X-Form-Token": sent.get("form_token") } });
    if (!answer.ok) throw new Error(String(answer.status));
    const parsed = new DOMParser().parseFromString(await answer.text(), "text/html");
    effect.replaceChildren(...parsed.body.childNodes);
    waiting.textContent = "";
  } catch (fault) {
    if (fault.name !== "AbortError") waiting.textContent = waiting.dataset.failed;
  }
}

function soon() {
  clearTimeout(later);
  later = setTimeout(reckon, 400);
}

whenTyped(form, (field) => field.type !== "file", soon);
