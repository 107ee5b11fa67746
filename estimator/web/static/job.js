// The job's form: the plan is redrawn as one types, cells are clicked, arrays dragged, obstructions drawn.
// Without this every button of the form does the same by sending it.
import { plans, bring } from "./plan.js";
import { whenTyped } from "./typed.js";

const form = document.getElementById("job");
const sketch = document.getElementById("sketch");
const told = document.getElementById("drawing");
const WAIT = 150;
let later, running;

function fieldFor(path) {
  return form.elements.namedItem(path);
}

function showFaults(faults) {
  for (const each of form.querySelectorAll(".fault")) each.remove();
  for (const each of form.querySelectorAll("[aria-invalid]")) { each.removeAttribute("aria-invalid"); each.removeAttribute("aria-describedby"); }
  for (const [path, words] of Object.entries(faults)) {
    const field = fieldFor(path);
    if (!field) continue;
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", `${field.id}-fault`);
    const said = document.createElement("span");
    said.className = "fault";
    said.id = `${field.id}-fault`;
    said.textContent = words;
    field.after(said);
    for (let folded = field.closest("details"); folded; folded = folded.parentElement.closest("details")) folded.open = true;
  }
}

async function draw() {
  running?.abort();
  running = new AbortController();
  const sent = new URLSearchParams(new FormData(form));
  try {
    const answer = await fetch("/jobs/draw", { method: "POST", body: sent, signal: running.signal, headers: { "X-Form-Token": sent.get("form_token") } });
    if (!answer.ok) throw new Error(String(answer.status));
    const { plan, faults } = await answer.json();
    const drawn = new DOMParser().parseFromString(plan, "text/html").body;
    showFaults(faults);
    if (drawn.querySelector("figure.roof") || !sketch.querySelector("figure.roof")) show(drawn);
    // Half a number is no roof: what was drawn last stays, and what is missing is told above it.
    told.textContent = drawn.querySelector("figure.roof") ? "" : (drawn.querySelector(".told, p")?.textContent ?? "");
  } catch (fault) {
    if (fault.name !== "AbortError") told.textContent = sketch.dataset.failed;
  }
}

function show(drawn) {
  const views = new Map([...plans].map(([roof, plan]) => [roof, { width: plan.width, height: plan.height, view: plan.view, whole: plan.whole }]));
  const focused = document.activeElement?.closest?.("figure.roof")?.dataset.roof;
  sketch.replaceChildren(...drawn.childNodes);
  plans.clear();
  bring(sketch);
  for (const [roof, plan] of plans) {
    const before = views.get(roof);
    if (before && before.width === plan.width && before.height === plan.height && before.view.width < before.whole.width) plan.show(before.view);
    if (roof === focused) plan.svg.focus({ preventScroll: true });
  }
  edit();
}

function soon() {
  clearTimeout(later);
  later = setTimeout(draw, WAIT);
}

function leave(out, roof, array, row, column) {
  const field = fieldFor(`roofs/${roof}/arrays/${array}/omit`);
  const cells = new Set(field.value.split(/\s+/).filter(Boolean));
  const cell = `${row}/${column}`;
  if (out) cells.add(cell); else cells.delete(cell);
  field.value = [...cells].join(" ");
  soon();
}

class Editor {
  constructor(holder) {
    this.roof = holder.dataset.roof;
    this.plan = plans.get(this.roof);
    this.cells = JSON.parse(holder.dataset.cells);
    [this.firstRib, this.ribSpacing] = holder.dataset.ribs.split(",").map(Number);
    this.svg = this.plan.svg;
    this.ghosts();
    this.facts();
    this.svg.addEventListener("pointerdown", (event) => this.down(event), { capture: true });
    this.svg.addEventListener("keydown", (event) => this.key(event));
  }

  facts() {
    const words = (cell) => `${cell[5]}/${cell[6]}`;
    this.plan.facts = { modules: this.cells.map((cell) => [...cell.slice(0, 4), words(cell)]), rails: [], attachments: [] };
    this.plan.loading = Promise.resolve();
  }

  ghosts() {
    const layer = this.svg.querySelector(".detail");
    for (const cell of this.cells.filter((each) => !each[7])) layer.append(this.rect(cell, "left-out"));
  }

  rect([x0, y0, x1, y1], kind) {
    const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    rect.setAttribute("x", x0);
    rect.setAttribute("y", this.plan.height - y1);
    rect.setAttribute("width", x1 - x0);
    rect.setAttribute("height", y1 - y0);
    rect.setAttribute("class", kind);
    return rect;
  }

  at(point) {
    return this.cells.find(([x0, y0, x1, y1]) => point.x >= x0 && point.x <= x1 && point.y >= y0 && point.y <= y1);
  }

  key(event) {
    if (event.key !== "Enter" && event.key !== " ") return;
    const cell = this.cells[this.plan.at];
    if (!cell) return;
    event.preventDefault();
    leave(cell[7] === 1, this.roof, cell[4], cell[5], cell[6]);
  }

  down(event) {
    if (event.button !== 0) return;
    const from = this.plan.point(event);
    if (room.roof === this.roof) return this.draws(event, from);
    const cell = this.at(from);
    if (!cell) return undefined;
    event.preventDefault();
    event.stopPropagation();
    this.svg.focus({ preventScroll: true });
    return this.follow(from, cell);
  }

  follow(from, cell) {
    const own = this.cells.filter((each) => each[4] === cell[4]);
    const box = [Math.min(...own.map((c) => c[0])), Math.min(...own.map((c) => c[1])), Math.max(...own.map((c) => c[2])), Math.max(...own.map((c) => c[3]))];
    const reach = 6 / this.svg.getScreenCTM().a;
    let moved = null;
    const move = (event) => {
      const to = this.plan.point(event);
      const by = { x: to.x - from.x, y: to.y - from.y };
      if (!moved && Math.hypot(by.x, by.y) < reach) return;
      moved = { x: this.snapped(box[0] + by.x), y: Math.round(box[1] + by.y) };
      const shift = { x: moved.x - box[0], y: moved.y - box[1] };
      this.plan.mark([box[0] + shift.x, box[1] + shift.y, box[2] + shift.x, box[3] + shift.y], "lit");
    };
    const end = () => {
      window.removeEventListener("pointermove", move);
      window.removeEventListener("pointerup", end);
      if (!moved) return leave(cell[7] === 1, this.roof, cell[4], cell[5], cell[6]);
      fieldFor(`roofs/${this.roof}/arrays/${cell[4]}/x`).value = `${Math.max(0, Math.round(moved.x * 10) / 10)} mm`;
      fieldFor(`roofs/${this.roof}/arrays/${cell[4]}/y`).value = `${Math.max(0, moved.y)} mm`;
      return draw();
    };
    window.addEventListener("pointermove", move);
    window.addEventListener("pointerup", end);
  }

  snapped(x) {
    if (!document.getElementById("snap").checked || !this.ribSpacing) return Math.round(x);
    return this.firstRib + Math.round((x - this.firstRib) / this.ribSpacing) * this.ribSpacing;
  }

  draws(event, from) {
    event.preventDefault();
    event.stopPropagation();
    let box = null;
    const move = (next) => {
      const to = this.plan.point(next);
      box = [Math.min(from.x, to.x), Math.min(from.y, to.y), Math.max(from.x, to.x), Math.max(from.y, to.y)].map(Math.round);
      this.plan.mark(box, "lit");
    };
    const end = () => {
      window.removeEventListener("pointermove", move);
      window.removeEventListener("pointerup", end);
      if (!box) return;
      const values = { x: box[0], y: box[1], width: box[2] - box[0], height: box[3] - box[1] };
      for (const [name, value] of Object.entries(values)) fieldFor(`new/${this.roof}/${name}`).value = `${Math.max(0, value)} mm`;
      room.end();
      fieldFor(`new/${this.roof}/clearance`).focus();
    };
    window.addEventListener("pointermove", move);
    window.addEventListener("pointerup", end);
  }
}

const room = {
  roof: null,
  begin(roof) {
    this.roof = roof;
    plans.get(roof)?.svg.classList.add("drawing-room");
    plans.get(roof)?.figure.scrollIntoView({ block: "nearest" });
  },
  end() {
    plans.get(this.roof)?.svg.classList.remove("drawing-room");
    this.roof = null;
  },
};

function edit() {
  for (const holder of sketch.querySelectorAll(".sketched")) new Editor(holder);
}

if (form && form.querySelector("button[value=save]")) {
  document.querySelector(".plan-modes").hidden = false;
  for (const button of form.querySelectorAll(".draw-room")) {
    button.hidden = false;
    button.addEventListener("click", () => room.begin(button.closest(".new-obstruction").dataset.roof));
  }
  edit();
  whenTyped(form, (field) => field.name && !field.name.startsWith("new/"), soon);
}
