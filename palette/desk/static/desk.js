"use strict";
// Everything works without this file but drawing on the picture; places can be typed instead.

// A form is sent once; work that takes long says so.
for (const form of document.querySelectorAll("form")) {
  form.addEventListener("submit", () => {
    const button = form.querySelector("button:not([name])");
    if (button) setTimeout(() => { button.disabled = true; button.textContent = "Working …"; }, 0);
  });
}
// Coming back to a page that was left by a form, it can be sent again.
addEventListener("pageshow", event => { if (event.persisted) location.reload(); });

// Drawing a rectangle on a reference's picture fills the four fields, and the fields move the rectangle.
const marks = document.querySelector("svg.marks"), marking = document.getElementById("marking");
if (marks && marking) {
  const fields = ["left", "top", "width", "height"].map(name => document.getElementById(name));
  const shapes = [document.getElementById("new-case"), document.getElementById("new-line")];
  const box = marks.viewBox.baseVal, scale = Number(marks.dataset.across) / box.width; // picture pixels a unit
  const across = box.width * scale, down = Math.round(box.height * scale);
  let from = null;

  const show = () => {
    const values = fields.map(field => field.value.trim() === "" ? NaN : Number(field.value.replace(",", ".")));
    const good = values.every(Number.isFinite) && values[2] > 0 && values[3] > 0;
    for (const shape of shapes) {
      shape.classList.toggle("shown", good);
      if (good) ["x", "y", "width", "height"].forEach((name, i) => shape.setAttribute(name, values[i] / scale));
    }
  };
  const at = event => {
    const frame = marks.getBoundingClientRect();
    const clamp = (value, most) => Math.min(Math.max(Math.round(value), 0), most);
    return [clamp((event.clientX - frame.left) / frame.width * across, across),
      clamp((event.clientY - frame.top) / frame.height * down, down)];
  };
  marks.addEventListener("pointerdown", event => {
    if (event.button !== 0 || !event.isPrimary) return;
    from = at(event);
    marks.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  marks.addEventListener("pointermove", event => {
    if (!from) return;
    const to = at(event);
    [Math.min(from[0], to[0]), Math.min(from[1], to[1]), Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])]
      .forEach((value, i) => { fields[i].value = value; });
    show();
  });
  for (const end of ["pointerup", "pointercancel"]) marks.addEventListener(end, () => { from = null; });
  for (const field of fields) field.addEventListener("input", show);
  show();
}
