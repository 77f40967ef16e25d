// Corners of outlines in a photo, lines that part them and arrows of their grain, dragged in the picture. What counts are
// the fields of each outline, in which all can be typed just as well: this only moves numbers in them.
"use strict";
const spotOf = (event, svg) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
// Places in her units: "4 1/2 x 3" in inches, "114.3 76.2" in mm. What is moved here is told to 1/64 in or 0.1 mm.
const { units, fraction } = document.querySelector(".found")?.dataset ?? {}, isInch = units === "inch";
const [STEP, FAR_STEP] = isInch ? [25.4 / 64, 25.4 / 8] : [0.5, 5];
const sayInches = (mm, parts) => {
  const count = Math.round(Math.abs(mm) / 25.4 * parts), whole = Math.floor(count / parts);
  let [top, bottom] = [count % parts, Number(parts)];
  while (top && top % 2 === 0 && bottom % 2 === 0) { top /= 2; bottom /= 2; }
  return (count && mm < 0 ? "-" : "") + (top ? (whole ? whole + " " : "") + top + "/" + bottom : whole);
};
const saySize = (mm, parts = 64) => isInch ? sayInches(mm, parts) : String(Math.round(mm * 10) / 10 + 0);
const sayPlace = (place, parts) => place.map((mm) => saySize(mm, parts)).join(isInch ? " x " : " ");
const UNITS = { mm: 1, cm: 10, in: 25.4, '"': 25.4, "": 25.4 };
const readInches = (text) => {
  const [, sign, number, top, bottom, unit] = text.trim().match(/^([-−]?)(?:(\d+(?:[.,]\d*)?|[.,]\d+)(?![\d/]))?(?:[\s-]*(\d+)\/(\d+))?\s*(mm|cm|in|"|)$/) ?? [];
  if (!number && !top) return NaN;
  return (sign ? -1 : 1) * (Number((number ?? "0").replace(",", ".")) + (top ? top / bottom : 0)) * UNITS[unit];
};
const readPlace = (text) => isInch ? text.split("x").map(readInches) : text.replace(",", " ").trim().split(/\s+/).map(Number);
const textsOf = (field) => field.value.split(";").map((one) => one.trim().replace(/\s+/g, " ")).filter(Boolean);
const isPlace = (pair) => pair.length === 2 && !pair.some(Number.isNaN);
const inMm = (svg, px) => px * svg.viewBox.baseVal.width / (svg.clientWidth || 640);
const made = (group, name, attributes) => {
  const one = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, value);
  group.append(one);
  return one;
};
const dragged = (knob, svg, moved) => {
  knob.addEventListener("pointerdown", (event) => { knob.setPointerCapture(event.pointerId); event.preventDefault(); knob.focus?.({ preventScroll: true }); });
  knob.addEventListener("pointermove", (event) => { if (knob.hasPointerCapture(event.pointerId)) moved(spotOf(event, svg)); });
};
// One outline is chosen at a time, by opening what holds of it or by a click on it: it is shown near, with its corners.
const svgOfMat = document.querySelector(".mat-picture");
const whole = svgOfMat && { ...["x", "y", "width", "height"].reduce((box, key) => ({ ...box, [key]: svgOfMat.viewBox.baseVal[key] }), {}) };
const detailsOf = (number) => document.getElementById("line-" + number)?.closest("details");
const redraws = [], bar = document.createElement("div");
let chosen = "";
const fitKnobs = () => svgOfMat.querySelectorAll("[data-px]").forEach((one) => one.setAttribute(one.matches("text") ? "font-size" : "r", inMm(svgOfMat, Number(one.dataset.px))));
const showNear = (group) => {
  const box = group ? group.querySelector("path").getBBox() : whole;
  const share = group ? Math.min(1, Math.max((box.width + 30) / whole.width, (box.height + 30) / whole.height)) : 1;
  const [width, height] = [share * whole.width, share * whole.height];
  const within = (middle, size, low, most) => Math.min(Math.max(middle - size / 2, low), low + most - size);
  const x = within(box.x + box.width / 2, width, whole.x, whole.width), y = within(box.y + box.height / 2, height, whole.y, whole.height);
  svgOfMat.setAttribute("viewBox", [x, y, width, height].join(" "));
  svgOfMat.classList.toggle("is-near", share < 1);
  fitKnobs();
};
// What a press in the picture means: choosing an outline (""), an end of the line that parts the chosen one ("line"), or
// the other one it is joined with ("join").
let mode = "";
const fieldOfLine = () => document.getElementById("line-" + chosen);
const sayMode = () => {
  const ends = mode === "line" ? textsOf(fieldOfLine()).length : 0;
  const told = {
    "": chosen ? `Outline ${chosen}: drag its corners and the tip of its grain. Arrow keys move a corner, Page Up and Page Down go from one to the next.` : "Press an outline to see it near, to drag its corners, to part it or to join it with another.",
    line: ends < 2 ? `Press where the line begins that parts outline ${chosen}, and where it ends.` : "Drag its ends to where the scraps meet, or press anew.",
    join: `Press the outline that is the other part of ${chosen}.`,
  };
  bar.querySelector("p").textContent = told[mode];
  const can = { whole: chosen && !mode, corners: chosen && !mode && document.getElementById("corners-" + chosen), line: chosen && !mode, join: chosen && !mode && document.getElementById("join-" + chosen), part: ends > 1, leave: mode };
  bar.querySelectorAll("button").forEach((one) => { one.hidden = !can[one.value]; });
  svgOfMat.classList.toggle("is-pointed-at", mode !== "");
};
const enter = (next) => {
  if (mode === "line") { fieldOfLine().value = fieldOfLine().defaultValue; fieldOfLine().dispatchEvent(new Event("input")); }
  mode = next;
  showNear(mode === "join" ? null : groupOf(chosen));
  sayMode();
};
const groupOf = (number) => svgOfMat.querySelector(`[data-outline="${CSS.escape(number)}"]`);
const choose = (number) => {
  chosen = number;
  mode = "";
  svgOfMat.querySelectorAll("[data-outline]").forEach((group) => group.classList.toggle("is-chosen", group.dataset.outline === number));
  showNear(groupOf(number));
  redraws.forEach((draw) => draw());
  sayMode();
};
const send = (what) => detailsOf(chosen).querySelector(`button[value="${what}-${chosen}"]`).click();
if (svgOfMat) {
  bar.className = "actions";
  bar.innerHTML = '<p class="small soft" role="status"></p><button type="button" value="part">Part it here</button><button type="button" class="quiet" value="line">Part it in two</button><button type="button" class="quiet" value="join">Join it with another</button><button type="button" class="quiet" value="corners">Corners as found</button><button type="button" class="quiet" value="leave">Leave it as it is</button><button type="button" class="quiet" value="whole">Show the whole mat</button>';
  svgOfMat.closest("figure").after(bar);
  bar.addEventListener("click", (event) => {
    const what = event.target.value, field = document.getElementById("corners-" + chosen);
    if (what === "whole") detailsOf(chosen).open = false;
    if (what === "corners" && field) { field.value = detailsOf(chosen).dataset.found; redraws.forEach((draw) => draw()); }
    if (what === "line" || what === "join") enter(what);
    if (what === "leave") enter("");
    if (what === "part") send("part");
  });
  svgOfMat.addEventListener("click", (event) => {
    if (chosen && mode !== "join") return;
    const spot = spotOf(event, svgOfMat), room = inMm(svgOfMat, 10);
    const held = [...svgOfMat.querySelectorAll("[data-outline]")].filter((group) => {
      const box = group.querySelector("path").getBBox();
      return spot.x > box.x - room && spot.x < box.x + box.width + room && spot.y > box.y - room && spot.y < box.y + box.height + room;
    });
    const size = (group) => { const box = group.querySelector("path").getBBox(); return box.width * box.height; };
    const hit = held.length ? held.sort((a, b) => size(a) - size(b))[0].dataset.outline : "";
    if (hit) event.stopImmediatePropagation();
    if (hit && mode !== "join") detailsOf(hit).open = true;
    if (hit && hit !== chosen && mode === "join") { document.getElementById("join-" + chosen).value = hit; send("join"); }
  });
  window.addEventListener("resize", () => { fitKnobs(); redraws.forEach((draw) => draw()); });
  document.querySelectorAll(".found details").forEach((details) => details.addEventListener("toggle", () => {
    const number = details.dataset.of;
    if (details.open) choose(number);
    else if (chosen === number) choose("");
  }));
}
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const number = group.dataset.outline, field = document.getElementById("corners-" + number);
  if (!field) return;
  const svg = group.ownerSVGElement, x0 = Number(group.dataset.x), y0 = Number(group.dataset.y);
  const found = group.dataset.corners.split(";").map((pair) => pair.split(" ").map(Number));
  const printed = found.map((place) => sayPlace(place, fraction));
  const read = () => {  // a corner that stands as it was printed is where it was found, not where the rounding puts it
    const texts = textsOf(field), more = texts.length - printed.length;
    const first = texts.findIndex((text, i) => text !== printed[i]), changed = first < 0 ? texts.length : first;
    return texts.map((text, i) => {
      const was = more && i >= changed ? i - more : i;
      return text === printed[was] ? found[was] : readPlace(text);
    });
  };
  const handles = [], lines = [...group.querySelectorAll("path")];
  let current = 0;
  const draw = () => {
    const points = read();
    if (!points.every(isPlace)) return;
    const at = points.map(([x, y]) => [x0 + x, y0 - y]), count = chosen === number ? at.length : 0;
    lines.forEach((path) => path.setAttribute("d", "M" + at.join(" ") + "Z"));
    while (handles.length > count) handles.pop().forEach((one) => one.remove());
    while (handles.length < count) handles.push(handle(handles.length));
    current = Math.min(current, Math.max(0, count - 1));
    handles.forEach(([reach, dot], i) => {
      for (const one of [reach, dot]) { one.setAttribute("cx", at[i][0]); one.setAttribute("cy", at[i][1]); }
      dot.setAttribute("tabindex", i === current ? 0 : -1);
      dot.setAttribute("aria-label", `Corner ${i + 1} of ${count}: ${saySize(points[i][0])} across, ${saySize(points[i][1])} up, in ${isInch ? "inches" : "mm"}`);
    });
    fitKnobs();
  };
  const put = (index, place) => {
    const texts = textsOf(field);
    texts[index] = sayPlace(place);
    field.value = texts.join("; ");
    draw();
  };
  const handle = (index) => {
    const reach = made(group, "circle", { fill: "transparent", class: "corner-reach", "data-px": 20 });
    const dot = made(group, "circle", { fill: "#ffffff", stroke: "#111111", class: "corner", role: "button", "data-px": 5 });
    let held = index, from = [0, 0];
    const down = (event) => {  // where reaches overlap, the nearest corner is meant
      const spot = spotOf(event, svg), points = read();
      const far = points.map(([x, y]) => Math.hypot(spot.x - x0 - x, y0 - y - spot.y));
      held = current = far.indexOf(Math.min(...far));
      from = [points[held][0] - spot.x + x0, points[held][1] - y0 + spot.y];  // it does not jump under the finger
      draw();
    };
    for (const one of [reach, dot]) {
      one.addEventListener("pointerdown", down);
      dragged(one, svg, (spot) => put(held, [spot.x - x0 + from[0], y0 - spot.y + from[1]]));
    }
    dot.addEventListener("focus", () => { current = index; });
    dot.addEventListener("keydown", (event) => {
      const way = { PageDown: 1, PageUp: -1 }[event.key], arrow = ARROWS[event.key];
      if ((!way && !arrow) || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      if (arrow) {
        const run = event.shiftKey ? FAR_STEP : STEP, told = textsOf(field)[index];
        const stepped = ([x, y]) => [x + run * arrow[0], y + run * arrow[1]], place = stepped(read()[index]);
        // Where the rounding takes the step back, it goes from the place as told: a key never does nothing.
        put(index, sayPlace(place) === told ? stepped(readPlace(told)) : place);
      } else {
        current = (index + way + handles.length) % handles.length;
        draw();
        handles[current][1].focus();
      }
    });
    return [reach, dot];
  };
  field.addEventListener("input", draw);
  redraws.push(draw);
});
// Two presses set the line along which an outline is parted, the third begins anew; its ends can be dragged. Near a corner
// of the outline, an end goes onto that corner: two scraps that touch meet in corners.
document.querySelectorAll(".mat-picture [data-outline]").forEach((group) => {
  const field = document.getElementById("line-" + group.dataset.outline);
  if (!field) return;
  const svg = group.ownerSVGElement, x0 = Number(group.dataset.x), y0 = Number(group.dataset.y);
  const shown = made(group, "path", { fill: "none", stroke: "#D9A441", "stroke-width": 2, "stroke-dasharray": "4 3" });
  const read = () => textsOf(field).map(readPlace).filter(isPlace);
  const draw = () => {
    const ends = read();
    shown.setAttribute("d", ends.length === 2 ? "M" + ends.map(([x, y]) => [x0 + x, y0 - y]).join("L") : "");
    knobs.forEach((knob, i) => {
      knob.setAttribute("visibility", ends.length > i ? "visible" : "hidden");
      if (ends.length > i) { knob.setAttribute("cx", x0 + ends[i][0]); knob.setAttribute("cy", y0 - ends[i][1]); }
    });
  };
  const write = (ends) => { field.value = ends.map((place) => sayPlace(place)).join("; "); draw(); sayMode(); };
  const found = group.dataset.corners.split(";").map((pair) => pair.split(" ").map(Number));
  const snapped = (spot) => {
    const place = [spot.x - x0, y0 - spot.y], far = ([x, y]) => Math.hypot(x - place[0], y - place[1]);
    const nearest = found.reduce((best, one) => (far(one) < far(best) ? one : best));
    return far(nearest) < inMm(svg, 12) ? nearest : place;
  };
  const knobs = [0, 1].map((index) => {
    const knob = made(group, "circle", { "data-px": 8, fill: "#D9A441", stroke: "#111111", class: "line-end" });
    dragged(knob, svg, (spot) => {
      const ends = read();
      ends[index] = snapped(spot);
      write(ends);
    });
    return knob;
  });
  const outline = group.querySelector("path");
  svg.addEventListener("click", (event) => {
    const spot = spotOf(event, svg);
    const box = outline.getBBox(), room = inMm(svg, 20);
    if (event.target.matches(".line-end") || mode !== "line" || chosen !== group.dataset.outline) return;
    if (spot.x < box.x - room || spot.x > box.x + box.width + room) return;
    if (spot.y < box.y - room || spot.y > box.y + box.height + room) return;
    const ends = read();
    write([...(ends.length === 1 ? ends : []), snapped(spot)]);
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
  const x = box.x + box.width / 2, y = box.y + box.height / 2;
  const shafts = [["#ffffff", 4], ["#111111", 1.8]].map(([stroke, width]) =>
    made(group, "path", { fill: "none", stroke, "stroke-width": width, "stroke-linecap": "round" }));
  const tip = made(group, "circle", { "data-px": 9, fill: "#ffffff", stroke: "#111111", "stroke-width": 1.6, class: "grain-tip",
    tabindex: 0, role: "slider", "aria-label": "Grain of " + group.dataset.outline + ", degrees against the clock",
    "aria-valuemin": 0, "aria-valuemax": 180 });
  const alongLongest = () => {
    const ring = group.dataset.corners.split(";").map((pair) => pair.split(" ").map(Number));
    const ways = ring.map((one, i) => [ring[(i + 1) % ring.length][0] - one[0], ring[(i + 1) % ring.length][1] - one[1]]);
    const [dx, dy] = ways.reduce((best, one) => (Math.hypot(...one) > Math.hypot(...best) ? one : best));
    return (Math.round(Math.atan2(dy, dx) * 180 / Math.PI) + 180) % 180;
  };
  const number = (text) => (text.trim() === "" ? NaN : Number(text.replace("°", "")));
  const told = () => {
    if (!Number.isNaN(number(field.value))) return number(field.value);
    const named = choice && choice.value ? choice.value : choiceOfAll ? choiceOfAll.value : "";
    if (!(choice && choice.value) && !Number.isNaN(number(all.value))) return number(all.value);
    return named === "0" || named === "90" ? Number(named) : named === "edge" ? alongLongest() : NaN;
  };
  const draw = () => {
    const deg = told(), turn = (Number.isNaN(deg) ? 0 : deg) * Math.PI / 180, isNear = chosen === group.dataset.outline;
    // Seen from afar it is long enough to stick out from behind the number, and its tip does not hide the scrap.
    const reach = Math.max(Math.min(box.width, box.height) * 0.42, inMm(svg, isNear ? 30 : 20)), px = isNear ? 9 : 3;
    tip.setAttribute("data-px", px); tip.setAttribute("r", inMm(svg, px));
    const dx = reach * Math.cos(turn), dy = -reach * Math.sin(turn);
    const way = Number.isNaN(deg) ? "" : `M${x - dx} ${y - dy}L${x + dx} ${y + dy}`;
    shafts.forEach((shaft) => shaft.setAttribute("d", way));
    tip.setAttribute("cx", x + dx); tip.setAttribute("cy", y + dy);
    tip.setAttribute("fill-opacity", Number.isNaN(deg) ? 0.4 : 1);
    tip.setAttribute("visibility", Number.isNaN(deg) && !isNear ? "hidden" : "visible");
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
  redraws.push(draw);
});
if (svgOfMat) choose(document.querySelector(".found details[open]")?.dataset.of ?? "");
