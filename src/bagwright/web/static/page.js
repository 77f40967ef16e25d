// The page works without this file; with it, a change shows its effect at once and nothing typed is lost.

// The tag at the foot of a phone opens and closes.
document.addEventListener("click", (event) => {
  const toggle = event.target.closest(".tag-toggle");
  if (toggle) toggle.setAttribute("aria-expanded", String(toggle.getAttribute("aria-expanded") !== "true"));
});

// A form that sends itself on every change: Enter in a field must not send it twice.
document.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches("form[hx-post] input")) {
    event.preventDefault();
    event.target.dispatchEvent(new Event("change", { bubbles: true }));
  }
});

// The bag is replaced by its new answer while she may be typing in another field already. What she typed since the
// change was sent stays, and what was open stays open.
const fieldsOfBag = () => [...document.querySelectorAll("#bag input[id], #bag select[id]")];
const openParts = () => [...document.querySelectorAll("#bag details[open] > summary")].map((s) => s.textContent);
let sent = new Map();
let typed = new Map();
let open = [];
let tagIsOpen = "false";

// The browser tells of no change for a value that a script has set, so tell it when she leaves the field.
const putBack = (field, value) => {
  field.value = value;
  const tell = () => field.isConnected && field.dispatchEvent(new Event("change", { bubbles: true }));
  if (field === document.activeElement) field.addEventListener("blur", tell, { once: true });
  else tell();
};

document.addEventListener("htmx:beforeRequest", () => {
  sent = new Map(fieldsOfBag().map((field) => [field.id, field.value]));
});
document.addEventListener("htmx:beforeSwap", () => {
  typed = new Map(fieldsOfBag().filter((f) => sent.has(f.id) && sent.get(f.id) !== f.value).map((f) => [f.id, f.value]));
  open = openParts();
  tagIsOpen = document.querySelector(".tag-toggle")?.getAttribute("aria-expanded") ?? "false";
});
document.addEventListener("htmx:afterSwap", () => {
  for (const field of fieldsOfBag()) if (typed.has(field.id)) putBack(field, typed.get(field.id));
  for (const summary of document.querySelectorAll("#bag details > summary")) {
    if (open.includes(summary.textContent)) summary.parentElement.open = true;
  }
  document.querySelector(".tag-toggle")?.setAttribute("aria-expanded", tagIsOpen);
});
