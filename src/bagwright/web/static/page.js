// The tag at the foot of a phone opens and closes. Everything else works without this file.
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

// What was open before a part of the page was replaced stays open after it.
let wasOpen = [];
document.addEventListener("htmx:beforeSwap", () => {
  wasOpen = [...document.querySelectorAll("details[open] > summary")].map((summary) => summary.textContent);
});
document.addEventListener("htmx:afterSwap", () => {
  for (const summary of document.querySelectorAll("details > summary")) {
    if (wasOpen.includes(summary.textContent)) summary.parentElement.open = true;
  }
});
