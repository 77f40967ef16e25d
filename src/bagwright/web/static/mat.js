// Corners of outlines in a photo, dragged in the picture. What counts is the field "Corners" of each outline, in which
// they can be typed just as well: this only moves numbers in it.
"use strict";
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const field = document.getElementById("corners-" + group.dataset.outline);
  if (!field) return;
  const svg = group.ownerSVGElement, x0 = Number(group.dataset.x), y0 = Number(group.dataset.y);
  const read = () => field.value.split(";").map((pair) => pair.replace(",", " ").trim().split(/\s+/).map(Number));
  const handles = [];
  const draw = () => {
    const points = read();
    if (points.some((pair) => pair.length !== 2 || pair.some(Number.isNaN))) return;
    const at = points.map(([x, y]) => [x0 + x, y0 - y]);
    group.querySelectorAll("path").forEach((path) => path.setAttribute("d", "M" + at.join(" ") + "Z"));
    while (handles.length > at.length) handles.pop().remove();
    while (handles.length < at.length) handles.push(handle(handles.length));
    handles.forEach((one, i) => { one.setAttribute("cx", at[i][0]); one.setAttribute("cy", at[i][1]); });
  };
  const handle = (index) => {
    const one = document.createElementNS("http://www.w3.org/2000/svg", "circle");
    for (const [name, value] of [["r", 3], ["fill", "#ffffff"], ["stroke", "#111111"], ["class", "corner"]]) {
      one.setAttribute(name, value);
    }
    one.addEventListener("pointerdown", (event) => { one.setPointerCapture(event.pointerId); event.preventDefault(); });
    one.addEventListener("pointermove", (event) => {
      if (!one.hasPointerCapture(event.pointerId)) return;
      const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      const points = read();
      points[index] = [spot.x - x0, y0 - spot.y].map((value) => Math.round(value * 10) / 10);
      field.value = points.map((pair) => pair.join(" ")).join("; ");
      draw();
    });
    group.append(one);
    return one;
  };
  field.addEventListener("input", draw);
  draw();
});
// Two clicks on an outline set the line along which it is parted; the third begins anew.
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const field = document.getElementById("line-" + group.dataset.outline);
  if (!field) return;
  const svg = group.ownerSVGElement, x0 = Number(group.dataset.x), y0 = Number(group.dataset.y);
  const shown = document.createElementNS("http://www.w3.org/2000/svg", "path");
  for (const [name, value] of [["fill", "none"], ["stroke", "#D9A441"], ["stroke-width", "2"], ["stroke-dasharray", "4 3"]]) {
    shown.setAttribute(name, value);
  }
  group.append(shown);
  const read = () => field.value.split(";").map((pair) => pair.replace(",", " ").trim().split(/\s+/).map(Number));
  const draw = () => {
    const ends = read().filter((pair) => pair.length === 2 && !pair.some(Number.isNaN));
    shown.setAttribute("d", ends.length === 2 ? "M" + ends.map(([x, y]) => [x0 + x, y0 - y]).join("L") : "");
  };
  const outline = group.querySelector("path");
  svg.addEventListener("click", (event) => {
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const box = outline.getBBox(), room = 4;
    if (event.target.classList.contains("corner") || !field.closest("details").open) return;
    if (spot.x < box.x - room || spot.x > box.x + box.width + room) return;
    if (spot.y < box.y - room || spot.y > box.y + box.height + room) return;
    const place = [spot.x - x0, y0 - spot.y].map((value) => Math.round(value * 10) / 10).join(" ");
    const ends = read().filter((pair) => pair.length === 2 && !pair.some(Number.isNaN));
    field.value = ends.length === 1 ? ends[0].join(" ") + "; " + place : place;
    draw();
  });
  field.addEventListener("input", draw);
  draw();
});
