// The page works without this file; with it, a change shows its effect at once and nothing typed is lost.

// The tag at the foot of a phone opens and closes.
document.addEventListener("click", (event) => {
  const toggle = event.target.closest(".tag-toggle");
  if (toggle) toggle.setAttribute("aria-expanded", String(toggle.getAttribute("aria-expanded") !== "true"));
});

// A form that sends itself on every change: Enter in a field must not send it twice.
document.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches("form[hx-trigger*=change] input")) {
    event.preventDefault();
    event.target.dispatchEvent(new Event("change", { bubbles: true }));
  }
});

// A button pressed while an answer is on its way would be lost with the part of the page that the answer replaces. It
// is pressed again afterwards, unless its form sends itself on every change: then all in it has been sent already.
// Parts that are fetched when they are seen leave the rest of the bag alone: they are not waited for, since the answer
// may take them away before they have come.
const isOfBag = (event) => event.detail.target?.id === "bag";
let underWay = 0;
let pressed = null;
document.addEventListener(
  "submit",
  (event) => {
    const button = event.submitter;
    if (!underWay || !event.target.closest("#bag")) return;
    event.preventDefault();
    event.stopPropagation();
    if (!button?.name && event.target.matches("[hx-trigger*=change]")) return;
    pressed = { id: event.target.id, action: event.target.getAttribute("action"), name: button?.name ?? "", value: button?.value ?? "" };
  },
  true,
);
const pressAgain = ({ id, action, name, value }) => {
  const isIt = (one) => one.id === id && one.getAttribute("action") === action;
  const form = [...document.querySelectorAll("#bag form")].find(isIt);
  const button = form && [...form.querySelectorAll("button")].find((one) => one.name === name && one.value === value);
  if (button) form.requestSubmit(button);
};
document.addEventListener("htmx:beforeRequest", (event) => {
  if (isOfBag(event)) underWay += 1;
});
document.addEventListener("htmx:afterRequest", (event) => {
  if (!isOfBag(event)) return;
  underWay -= 1;
  if (underWay || !pressed) return;
  const again = pressed;
  pressed = null;
  if (event.detail.successful) pressAgain(again);
});

// A file takes a while to be read: its button says so, and is not pressed twice. Back on the page, it is as it was.
document.addEventListener("submit", (event) => {
  const button = event.submitter;
  if (event.defaultPrevented || !button?.dataset.meanwhile) return;
  setTimeout(() => {
    button.dataset.label = button.textContent;
    button.textContent = button.dataset.meanwhile;
    button.disabled = true;
  });
});
addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("button[data-label]")) {
    button.textContent = button.dataset.label;
    button.disabled = false;
  }
});

// What could not be sent must not look as if it were saved.
const tellTrouble = (words) => {
  const trouble = document.getElementById("trouble");
  trouble.textContent = words;
  trouble.hidden = !words;
};
document.addEventListener("htmx:sendError", () => {
  tellTrouble("Your last change was not saved: bagwright does not answer. Start it again, then load this page again.");
});
document.addEventListener("htmx:responseError", (event) => {
  const status = event.detail.xhr.status;
  tellTrouble(`Your last change was not saved: bagwright refused it (${status}). Load this page again to go on.`);
});
document.addEventListener("htmx:afterOnLoad", (event) => {
  if (event.detail.successful) tellTrouble("");
});

// The bag is replaced by its new answer while she may be typing in another field already. What she typed since the
// change was sent stays, and what was open stays open.
const fieldsOfBag = () => [...document.querySelectorAll("#bag input[id], #bag select[id]")];
const openParts = () => [...document.querySelectorAll("#bag details[open] > summary")].map((s) => s.textContent);
let sent = new Map();
let typed = new Map();
let open = [];
let tagIsOpen = "false";
let isDue = false;

// What she has in hand stays where it is on the screen, however much the answer adds or takes away above it: the field
// she is in, else the part she sees.
let inHand = null;
const topOf = (one) => one.getBoundingClientRect().top;
const isSeen = (one) => topOf(one) < innerHeight && one.getBoundingClientRect().bottom > 0;
const holdPlace = () => {
  const active = document.activeElement?.closest("#bag .part [id]");
  const held = active && isSeen(active) ? active : [...document.querySelectorAll("#bag .part")].find(isSeen);
  inHand = held && { id: held.id, top: topOf(held) };
};
const keepPlace = () => {
  const held = inHand && document.getElementById(inHand.id);
  if (held) scrollBy(0, topOf(held) - inHand.top);
};

// The browser tells of no change for a value that a script has set, so tell it when she leaves the field; if she has
// left it, once the new form listens, which it does only when the answer has settled.
let untold = [];
const putBack = (field, value) => {
  field.value = value;
  const tell = () => field.isConnected && field.dispatchEvent(new Event("change", { bubbles: true }));
  if (field === document.activeElement) field.addEventListener("blur", tell, { once: true });
  else untold.push(tell);
};
document.addEventListener("htmx:afterSettle", () => {
  for (const tell of untold.splice(0)) tell();
});

// What the answer will know of a field: what its own form sends, else what the page was given.
const given = (field) =>
  field.options ? ([...field.options].find((o) => o.defaultSelected) ?? field.options[0])?.value : field.defaultValue;

document.addEventListener("htmx:beforeRequest", (event) => {
  if (!isOfBag(event)) return;
  const isSent = (field) => event.detail.elt.contains(field);
  sent = new Map(fieldsOfBag().map((field) => [field.id, isSent(field) ? field.value : given(field)]));
});
document.addEventListener("htmx:beforeSwap", (event) => {
  if (!isOfBag(event)) return;
  typed = new Map(fieldsOfBag().filter((f) => sent.has(f.id) && sent.get(f.id) !== f.value).map((f) => [f.id, f.value]));
  open = openParts();
  tagIsOpen = document.querySelector(".tag-toggle")?.getAttribute("aria-expanded") ?? "false";
  isDue = true;
  holdPlace();
});
document.addEventListener("htmx:afterSwap", () => {
  if (!isDue) return; // news of a search, which leaves the rest of the page alone
  isDue = false;
  for (const field of fieldsOfBag()) if (typed.has(field.id)) putBack(field, typed.get(field.id));
  for (const summary of document.querySelectorAll("#bag details > summary")) {
    if (open.includes(summary.textContent)) summary.parentElement.open = true;
  }
  document.querySelector(".tag-toggle")?.setAttribute("aria-expanded", tagIsOpen);
  keepPlace();
});

// A form that came back refused: its first fault is brought to her, however far down the page it stands.
const wasRefused = performance.getEntriesByType("navigation")[0]?.responseStatus === 422;
const faults = 'main [aria-invalid="true"], main .fault, main [role="alert"]:not([hidden])';
const firstFault = wasRefused ? document.querySelector(faults) : null;
if (firstFault?.matches("input, select, textarea")) firstFault.focus();
else if (firstFault) firstFault.scrollIntoView({ block: "center" });
