// Pieces of a layout are dragged, or moved by the arrow keys. bagwright judges each move; without this file the numbers
// and the button "Check" do the same.
const form = document.getElementById("moving");
const step = Number(form.dataset.step);
const gap = Number(form.dataset.gap);
const SNAP_PX = 7;
const WAIT_MS = 250;

const svg = () => form.querySelector(".moving-board");
const group = (number) => svg().querySelector(`.movable[data-number="${number}"]`);
const hangs = () => svg().dataset.hangs === "1";
const mmPerPx = () => 1 / svg().getScreenCTM().a;
const boxOf = (one) => one.dataset.box.split(" ").map(Number);
// How far each piece has come from where it is drawn, along and across the cloth.
const shifts = new Map();
const shiftOf = (one) => shifts.get(one.dataset.number) ?? [0, 0];
const nowAt = (one) => {
  const [lowX, lowY, highX, highY] = boxOf(one);
  const [x, y] = shiftOf(one);
  return [lowX + x, lowY + y, highX + x, highY + y];
};

const place = (one, shift) => {
  const [lowX, lowY, highX, highY] = boxOf(one);
  const along = Math.max(-lowX, Math.min(shift[0], Number(svg().dataset.length) - highX));
  const across = Math.max(-lowY, Math.min(shift[1], Number(svg().dataset.width) - highY));
  shifts.set(one.dataset.number, [along, across]);
  one.setAttribute("transform", hangs() ? `translate(${across} ${along})` : `translate(${along} ${-across})`);
};

const tell = (one) => {
  const [lowX, lowY] = nowAt(one);
  const number = one.dataset.number;
  form.elements[`along_${number}`].value = `${lowX.toFixed(6)} mm`;
  form.elements[`across_${number}`].value = `${lowY.toFixed(6)} mm`;
  askSoon();
};

// Edge to edge: the nearest side of another piece or of the cloth, if it is close.
const snapped = (one, shift) => {
  const reach = SNAP_PX * mmPerPx();
  const [lowX, lowY, highX, highY] = boxOf(one);
  const others = [...svg().querySelectorAll(".movable")].filter((other) => other !== one).map(nowAt);
  const cloth = [0, 0, Number(svg().dataset.length), Number(svg().dataset.width)];
  const nearest = (axis, low, high, at) => {
    const stops = [-low, cloth[axis + 2] - high];
    for (const box of others) {
      stops.push(box[axis + 2] + gap - low, box[axis] - gap - high, box[axis] - low, box[axis + 2] - high);
    }
    const best = stops.reduce((a, b) => (Math.abs(b - at) < Math.abs(a - at) ? b : a));
    return Math.abs(best - at) <= reach ? best : at;
  };
  return [nearest(0, lowX, highX, shift[0]), nearest(1, lowY, highY, shift[1])];
};

let held = null;
document.addEventListener("pointerdown", (event) => {
  const one = event.target.closest?.(".movable");
  if (!one || event.button) return;
  event.preventDefault();
  one.focus();
  one.setPointerCapture(event.pointerId);
  held = { one, x: event.clientX, y: event.clientY, from: shiftOf(one), moved: false };
});
document.addEventListener("pointermove", (event) => {
  if (!held) return;
  const dx = (event.clientX - held.x) * mmPerPx();
  const dy = (event.clientY - held.y) * mmPerPx();
  const [along, across] = hangs() ? [dy, dx] : [dx, -dy];
  held.moved = held.moved || Math.hypot(event.clientX - held.x, event.clientY - held.y) > 2;
  if (held.moved) place(held.one, snapped(held.one, [held.from[0] + along, held.from[1] + across]));
});
const letGo = () => {
  if (held?.moved) tell(held.one);
  held = null;
};
document.addEventListener("pointerup", letGo);
document.addEventListener("pointercancel", letGo);

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
document.addEventListener("keydown", (event) => {
  const one = event.target.closest?.(".movable");
  if (!one || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key.toLowerCase() === "t") {
    const turn = form.elements[`turn_${one.dataset.number}`];
    turn.selectedIndex = (turn.selectedIndex + 1) % turn.options.length;
    ask(one.dataset.number);
    return;
  }
  const arrow = ARROWS[event.key];
  if (!arrow) return;
  event.preventDefault();
  const run = step * (event.shiftKey ? 10 : 1);
  const [along, across] = hangs() ? [arrow[1], arrow[0]] : [arrow[0], -arrow[1]];
  const [x, y] = shiftOf(one);
  place(one, [x + along * run, y + across * run]);
  tell(one);
});

// Only the latest wish is asked for, one at a time. The board is drawn anew where a piece was turned or typed.
let timer = 0;
let isAsking = false;
let again = null;
const askSoon = () => {
  clearTimeout(timer);
  timer = setTimeout(() => ask(), WAIT_MS);
};
const ask = async (turned = "") => {
  clearTimeout(timer);
  if (isAsking) {
    again = turned;
    return;
  }
  isAsking = true;
  try {
    const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const verdict = page.getElementById("verdict");
    if (answer.ok && verdict && again === null && !held) show(page, turned);
    else if (!answer.ok) trouble(page);
  } catch {
    trouble(null);
  }
  isAsking = false;
  if (again !== null) {
    const next = again;
    again = null;
    ask(next);
  }
};
const trouble = (page) => {
  const told = document.getElementById("trouble");
  told.textContent = page?.querySelector("[role=alert] .look")?.textContent ?? "bagwright does not answer. Start it again.";
  told.hidden = false;
};
const show = (page, turned) => {
  document.getElementById("trouble").hidden = true;
  document.getElementById("verdict").replaceWith(page.getElementById("verdict"));
  if (turned !== "") {
    shifts.clear();
    document.getElementById("board").replaceChildren(...page.getElementById("board").childNodes);
    group(turned)?.focus();
    return;
  }
  for (const one of page.querySelectorAll(".movable")) {
    group(one.dataset.number)?.setAttribute("class", one.getAttribute("class"));
    group(one.dataset.number)?.setAttribute("aria-label", one.getAttribute("aria-label"));
  }
};

form.addEventListener("change", (event) => {
  const row = event.target.closest("tr[data-number]");
  if (row) ask(row.dataset.number);
});
document.getElementById("places").open = Boolean(form.querySelector("[aria-invalid]"));
