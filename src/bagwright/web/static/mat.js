// Corners of outlines in a photo, lines that part them and arrows of their grain, dragged in the picture. What counts are
// the fields of each outline, in which all can be typed just as well: this only moves numbers in them.
"use strict";
const spotOf = (event, svg) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
const tenths = (...values) => values.map((value) => Math.round(value * 10) / 10);
const inMm = (svg, px) => px * svg.viewBox.baseVal.width / (svg.clientWidth || 640);
const made = (group, name, attributes) => {
  const one = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value);
  group.append(one);
  return one;
};
const dragged = (knob, svg, moved) => {
  knob.addEventListener("pointerdown", (event) => { knob.setPointerCapture(event.pointerId); event.preventDefault(); knob.focus?.(); });
  knob.addEventListener("pointermove", (event) => { if (knob.hasPointerCapture(event.pointerId)) moved(spotOf(event, svg)); });
};
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const field = document.getElementById("corners-" + group.dataset.outline);
  if (!field) return;
  const svg = group.ownerSVGElement, x0 = Number(group.dataset.x), y0 = Number(group.dataset.y);
  const read = () => field.value.split(";").map((pair) => pair.replace(",", " ").trim().split(/\s+/).map(Number));
  const handles = [], lines = [...group.querySelectorAll("path")];
  const draw = () => {
    const points = read();
    if (points.some((pair) => pair.length !== 2 || pair.some(Number.isNaN))) return;
    const at = points.map(([x, y]) => [x0 + x, y0 - y]);
    lines.forEach((path) => path.setAttribute("d", "M" + at.join(" ") + "Z"));
    while (handles.length > at.length) handles.pop().remove();
    while (handles.length < at.length) handles.push(handle(handles.length));
    handles.forEach((one, i) => { one.setAttribute("cx", at[i][0]); one.setAttribute("cy", at[i][1]); });
  };
  const handle = (index) => {
    const one = made(group, "circle", { r: 3, fill: "#ffffff", stroke: "#111111", class: "corner" });
    dragged(one, svg, (spot) => {
      const points = read();
      points[index] = tenths(spot.x - x0, y0 - spot.y);
      field.value = points.map((pair) => pair.join(" ")).join("; ");
      draw();
    });
    return one;
  };
  field.addEventListener("input", draw);
  draw();
});
// Two clicks on an outline set the line along which it is parted, the third begins anew; its ends can be dragged.
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const field = document.getElementById("line-" + group.dataset.outline);
  if (!field) return;
  const svg = group.ownerSVGElement, x0 = Number(group.dataset.x), y0 = Number(group.dataset.y);
  const shown = made(group, "path", { fill: "none", stroke: "#D9A441", "stroke-width": 2, "stroke-dasharray": "4 3" });
  const read = () => field.value.split(";").map((pair) => pair.replace(",", " ").trim().split(/\s+/).map(Number));
  const draw = () => {
    const ends = read().filter((pair) => pair.length === 2 && !pair.some(Number.isNaN));
    shown.setAttribute("d", ends.length === 2 ? "M" + ends.map(([x, y]) => [x0 + x, y0 - y]).join("L") : "");
    knobs.forEach((knob, i) => {
      knob.setAttribute("visibility", ends.length > i ? "visible" : "hidden");
      if (ends.length > i) { knob.setAttribute("cx", x0 + ends[i][0]); knob.setAttribute("cy", y0 - ends[i][1]); }
    });
  };
  const write = (ends) => { field.value = ends.map((pair) => pair.join(" ")).join("; "); draw(); };
  const knobs = [0, 1].map((index) => {
    const knob = made(group, "circle", { r: Math.max(4, inMm(svg, 7)), fill: "#D9A441", stroke: "#111111", class: "line-end" });
    dragged(knob, svg, (spot) => {
      const ends = read();
      ends[index] = tenths(spot.x - x0, y0 - spot.y);
      write(ends);
    });
    return knob;
  });
  const outline = group.querySelector("path");
  svg.addEventListener("click", (event) => {
    const spot = spotOf(event, svg);
    const box = outline.getBBox(), room = 4;
    if (event.target.matches(".corner, .line-end, .grain-tip") || !field.closest("details").open) return;
    if (spot.x < box.x - room || spot.x > box.x + box.width + room) return;
    if (spot.y < box.y - room || spot.y > box.y + box.height + room) return;
    const ends = read().filter((pair) => pair.length === 2 && !pair.some(Number.isNaN));
    write([...(ends.length === 1 ? ends : []), tenths(spot.x - x0, y0 - spot.y)]);
  });
  field.addEventListener("input", draw);
  draw();
});
// The arrow of the grain: its tip is dragged, or turned with the arrow keys. What counts is the field "Or turned by".
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const field = document.getElementById("grain_deg-" + group.dataset.outline), all = document.getElementById("grain_deg");
  const choice = document.getElementById("grain-" + group.dataset.outline), choiceOfAll = document.getElementById("grain");
  if (!field || !all) return;
  const svg = group.ownerSVGElement;
  svg.setAttribute("role", "group");  // no longer one image: it holds what can be turned
  const box = group.querySelector("path").getBBox();
  const x = box.x + box.width / 2, y = box.y + box.height / 2, reach = Math.max(18, Math.min(box.width, box.height) * 0.42);
  const shafts = [["#ffffff", 4], ["#111111", 1.8]].map(([stroke, width]) =>
    made(group, "path", { fill: "none", stroke, "stroke-width": width, "stroke-linecap": "round" }));
  const tip = made(group, "circle", { r: Math.max(4.5, inMm(svg, 8)), fill: "#ffffff", stroke: "#111111", "stroke-width": 1.6, class: "grain-tip",
    tabindex: 0, role: "slider", "aria-label": "Grain of " + group.dataset.outline + ", degrees against the clock",
    "aria-valuemin": 0, "aria-valuemax": 180 });
  const number = (text) => (text.trim() === "" ? NaN : Number(text.replace("°", "")));
  const told = () => {
    if (!Number.isNaN(number(field.value))) return number(field.value);
    const named = choice && choice.value ? choice.value : choiceOfAll ? choiceOfAll.value : "";
    if (!(choice && choice.value) && !Number.isNaN(number(all.value))) return number(all.value);
    return named === "0" || named === "90" ? Number(named) : NaN;
  };
  const draw = () => {
    const deg = told(), turn = (Number.isNaN(deg) ? 0 : deg) * Math.PI / 180;
    const dx = reach * Math.cos(turn), dy = -reach * Math.sin(turn);
    const way = Number.isNaN(deg) ? "" : `M${x - dx} ${y - dy}L${x + dx} ${y + dy}`;
    shafts.forEach((shaft) => shaft.setAttribute("d", way));
    tip.setAttribute("cx", x + dx); tip.setAttribute("cy", y + dy);
    tip.setAttribute("fill-opacity", Number.isNaN(deg) ? 0.4 : 1);
    if (Number.isNaN(deg)) { tip.removeAttribute("aria-valuenow"); tip.setAttribute("aria-valuetext", "not set"); }
    else { tip.setAttribute("aria-valuenow", deg); tip.setAttribute("aria-valuetext", deg + " degrees"); }
  };
  const set = (deg) => { field.value = String(((Math.round(deg) % 180) + 180) % 180); draw(); };
  dragged(tip, svg, (spot) => set(Math.atan2(y - spot.y, spot.x - x) * 180 / Math.PI));
  tip.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: 1, ArrowUp: 1, ArrowRight: -1, ArrowDown: -1, PageUp: 15, PageDown: -15 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    set((Number.isNaN(told()) ? 0 : told()) + step);
  });
  [field, all, choice, choiceOfAll].forEach((one) => one && one.addEventListener("input", draw));
  draw();
});
