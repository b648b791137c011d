// A picture is looked at from nearer: by buttons, wheel, pinch, dragging and keys. Without this script it is the whole sheet.

const seen = document.getElementById("seen");
const drawing = seen.querySelector("svg");
const tools = document.querySelector("[data-near]");
const [left, top, width, height] = drawing.getAttribute("viewBox").split(/[ ,]+/).map(Number);
const MOST = 12;
const STEP = 1.5;

let scale = 1;
let x = left;
let y = top;
const fingers = new Map();

function show() {
  const wide = width / scale;
  const high = height / scale;
  x = Math.min(Math.max(x, left), left + width - wide);
  y = Math.min(Math.max(y, top), top + height - high);
  drawing.setAttribute("viewBox", `${x} ${y} ${wide} ${high}`);
  seen.dataset.scale = scale.toFixed(2);
}

// Where in the drawing a place on the screen is; the middle where none is given.
function at(clientX, clientY) {
  const box = drawing.getBoundingClientRect();
  return [(clientX - box.left) / box.width, (clientY - box.top) / box.height];
}

function come(factor, [across, down] = [0.5, 0.5]) {
  const next = Math.min(Math.max(scale * factor, 1), MOST);
  x += (width / scale - width / next) * across;
  y += (height / scale - height / next) * down;
  scale = next;
  show();
}

function move(across, down) {
  x += (width / scale) * across;
  y += (height / scale) * down;
  show();
}

function whole() {
  scale = 1;
  show();
}

const DO = { nearer: () => come(STEP), farther: () => come(1 / STEP), whole };
for (const button of tools.querySelectorAll("button")) button.addEventListener("click", DO[button.dataset.do]);
tools.hidden = false;
seen.setAttribute("aria-describedby", "near-how");

seen.addEventListener(
  "wheel",
  (turn) => {
    if (scale === 1 && turn.deltaY > 0) return; // the page moves on where there is nothing farther off
    turn.preventDefault();
    come(turn.deltaY < 0 ? 1.2 : 1 / 1.2, at(turn.clientX, turn.clientY));
  },
  { passive: false },
);

const KEYS = {
  "+": DO.nearer, "=": DO.nearer, "-": DO.farther, 0: whole,
  ArrowLeft: () => move(-0.2, 0), ArrowRight: () => move(0.2, 0), ArrowUp: () => move(0, -0.2), ArrowDown: () => move(0, 0.2),
};
seen.addEventListener("keydown", (key) => {
  const act = KEYS[key.key];
  if (!act || key.ctrlKey || key.metaKey || key.altKey || (scale === 1 && key.key.startsWith("Arrow"))) return;
  key.preventDefault();
  act();
});

seen.addEventListener("pointerdown", (down) => {
  fingers.set(down.pointerId, [down.clientX, down.clientY]);
  // One finger scrolls the page while the whole sheet is seen; two fingers, or one when nearer, are for the sheet.
  seen.dataset.held = String(fingers.size);
  seen.setPointerCapture(down.pointerId);
});
seen.addEventListener("pointermove", (moved) => {
  const before = fingers.get(moved.pointerId);
  if (!before) return;
  const now = [moved.clientX, moved.clientY];
  const other = [...fingers.entries()].find(([id]) => id !== moved.pointerId)?.[1];
  const box = drawing.getBoundingClientRect();
  fingers.set(moved.pointerId, now);
  if (other) {
    const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]) || 1;
    come(apart(now, other) / apart(before, other), at((now[0] + other[0]) / 2, (now[1] + other[1]) / 2));
  } else if (scale > 1) {
    move(-(now[0] - before[0]) / box.width, -(now[1] - before[1]) / box.height);
  }
});
const lift = (up) => {
  fingers.delete(up.pointerId);
  seen.dataset.held = String(fingers.size);
};
seen.addEventListener("pointerup", lift);
seen.addEventListener("pointercancel", lift);
show();
