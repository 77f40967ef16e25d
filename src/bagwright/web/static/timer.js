// Running timers count on while she looks; the time that is kept is the server's. Without this file the page shows the
// time of when it came.
const clockOf = (seconds) => {
  const two = (number) => String(number).padStart(2, "0");
  const hours = Math.floor(seconds / 3600);
  const rest = `${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  return hours ? `${hours}:${rest}` : rest;
};
const came = Date.now();
const clocks = [...document.querySelectorAll("[data-seconds]")];
const tick = () => {
  const since = Math.max(0, Math.floor((Date.now() - came) / 1000));
  for (const clock of clocks) clock.textContent = clockOf(Number(clock.dataset.seconds) + since);
};
for (const clock of clocks) clock.nextElementSibling.textContent = "running";
if (clocks.length) setInterval(tick, 1000);
// Coming back to a page that the browser kept: it may be long out of date.
window.addEventListener("pageshow", (event) => event.persisted && clocks.length && location.reload());
