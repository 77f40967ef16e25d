// The folded-up bag turns as she drags it or presses the arrow keys. Without this file its links do the same.
const KEY_STEP_DEG = 15;
const DEG_PER_PX = 0.6;

const folded = () => document.getElementById("folded");
const turntable = () => folded()?.querySelector(".turntable");
const angles = (element) => ({ turn: Number(element.dataset.turn), tilt: Number(element.dataset.tilt) });

// Only the latest wish is asked for, and only one at a time, so that dragging never piles up questions.
let wanted = null;
let aim = null;
let isAsking = false;
const ask = async (view) => {
  wanted = aim = view;
  if (isAsking) return;
  isAsking = true;
  while (wanted) {
    const { turn, tilt } = wanted;
    const asked = folded();
    wanted = null;
    if (!asked) break;
    try {
      const answer = await fetch(`${asked.dataset.src}?turn=${turn}&tilt=${tilt}`);
      if (answer.ok) show(await answer.text());
    } catch {
      break; // bagwright does not answer; the page tells of it with the next change
    }
  }
  isAsking = false;
  aim = null;
};

// What holds the focus or the pointer stays; only what it shows is replaced.
const show = (text) => {
  const now = folded();
  const next = new DOMParser().parseFromString(text, "text/html").getElementById("folded");
  if (!now || !next || now.dataset.src !== next.dataset.src) return;
  const link = now.querySelector(".turning a:focus")?.textContent;
  turntable().replaceChildren(...next.querySelector(".turntable").childNodes);
  now.querySelector("figcaption").replaceWith(next.querySelector("figcaption"));
  Object.assign(now.dataset, { turn: next.dataset.turn, tilt: next.dataset.tilt });
  delete now.dataset.waits;
  if (link) [...now.querySelectorAll(".turning a")].find((one) => one.textContent === link)?.focus();
};

const told = () => {
  const words = turntable()?.querySelector("desc")?.textContent;
  if (words) turntable().setAttribute("aria-description", words);
};

// A new answer about the bag comes with a new figure: it keeps the side that she was looking at.
let kept = null;
const start = () => {
  const figure = folded();
  if (!figure) return;
  const table = turntable();
  table.tabIndex = 0;
  table.setAttribute("role", "group");
  table.setAttribute("aria-label", "The bag folded up. Turn it with the arrow keys or by dragging.");
  const view = kept?.src === figure.dataset.src ? kept : null;
  kept = null;
  if ("waits" in figure.dataset) {
    if (view) table.replaceChildren(...view.picture);
    ask(view ?? angles(figure));
  } else if (view && (view.turn !== angles(figure).turn || view.tilt !== angles(figure).tilt)) ask(view);
};
start();
document.addEventListener("htmx:beforeSwap", () => {
  const figure = folded();
  if (figure && !("waits" in figure.dataset)) {
    kept = { ...angles(figure), src: figure.dataset.src, picture: [...turntable().cloneNode(true).childNodes] };
  }
});
document.addEventListener("htmx:afterSwap", start);

document.addEventListener("click", (event) => {
  const link = event.target.closest(".turning a");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  ask(angles(link)).then(told);
});

const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
document.addEventListener("keydown", (event) => {
  const way = KEYS[event.key];
  if (!way || event.target !== turntable() || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  const { turn, tilt } = aim ?? angles(folded());
  ask({ turn: turn + way[0] * KEY_STEP_DEG, tilt: tilt + way[1] * KEY_STEP_DEG }).then(told);
});

let drag = null;
document.addEventListener("pointerdown", (event) => {
  const table = turntable();
  if (!table?.contains(event.target) || event.button !== 0 || "waits" in folded().dataset) return;
  table.setPointerCapture(event.pointerId);
  drag = { x: event.clientX, y: event.clientY, ...angles(folded()) };
});
document.addEventListener("pointermove", (event) => {
  if (!drag) return;
  const tilt = drag.tilt + (event.clientY - drag.y) * DEG_PER_PX;
  ask({ turn: drag.turn - (event.clientX - drag.x) * DEG_PER_PX, tilt: Math.max(-90, Math.min(90, tilt)) });
});
for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => {
    drag = null;
  });
}
