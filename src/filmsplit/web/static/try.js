// The sheet answers while a hand moves: one question at a time, always the newest; the fine one when the hand rests.
// Without this script the page is a form, and its buttons get the same answers.

const REST_MS = 400;

const form = document.getElementById("try");
const sheet = form.querySelector("svg.sheet");
const part = (id) => document.getElementById(id);
const field = (name) => form.elements.namedItem(name);
const slides = [...form.querySelectorAll("input.slide")];

let turn = 0; // moves so far
let asked = null; // the question under way
let waiting = false; // whether there is a newer one
let rest = 0;

function question(fine) {
  const told = new URLSearchParams(new FormData(form));
  if (fine) told.set("fine", "yes");
  return told;
}

function show(answer) {
  sheet.dataset.state = answer.state;
  part("said").textContent = answer.said;
  if (!answer.zones) return;
  if (answer.picture) part("picture").setAttribute("href", answer.picture);
  if (part("summary").textContent !== answer.summary) part("summary").textContent = answer.summary;
  part("take").href = answer.take;
  answer.zones.forEach((zone, place) => {
    const row = form.querySelector(`.print[data-zone="${place + 1}"]`);
    row.dataset.against = zone.against;
    row.querySelector("[data-part=print]").textContent = zone.print;
    row.querySelector("[data-part=word]").textContent = zone.word;
    part(`zone${place + 1}`).querySelector("[data-part=key]").textContent = zone.key;
  });
}

async function ask(fine) {
  const mine = turn;
  const going = { fine, stop: new AbortController() };
  asked = going;
  waiting = false;
  if (fine) part("said").textContent = form.dataset.refining;
  let answer = null;
  try {
    const sent = await fetch(`/jobs/try/answer?${question(fine)}`, {
      headers: { "x-filmsplit-token": form.dataset.token },
      signal: going.stop.signal,
    });
    answer = sent.ok || sent.status === 422 ? await sent.json() : null;
  } catch (fault) {
    if (fault.name === "AbortError") return;
  }
  if (asked !== going) return;
  asked = null;
  if (answer === null) show({ state: "lost", said: form.dataset.lost });
  else if (!fine || mine === turn) show(answer);
  if (waiting) ask(false);
  else if (!fine && answer !== null && answer.state !== "refused") {
    clearTimeout(rest);
    rest = setTimeout(() => ask(true), REST_MS);
  } else if (fine) history.replaceState(null, "", `/jobs/try?${question(false)}`);
}

function moved() {
  turn += 1;
  clearTimeout(rest);
  if (sheet.dataset.state !== "rough") show({ state: "computing", said: form.dataset.computing });
  if (asked?.fine) {
    asked.stop.abort();
    asked = null;
  }
  if (asked) waiting = true;
  else ask(false);
}

function stepped(name, by) {
  const to = field(name);
  const step = Number(to.dataset.step);
  const value = Math.min(Math.max(Number(to.value) + by * step, Number(to.min)), Number(to.max));
  to.value = String(Number(value.toPrecision(6)));
  follow(to);
  moved();
}

/** The slider follows its number. */
function follow(number) {
  const slide = slides.find((each) => each.dataset.of === number.name);
  if (slide) slide.value = number.value;
}

form.addEventListener("input", (event) => {
  const from = event.target;
  if (from.dataset.of) field(from.dataset.of).value = from.value;
  else if (from.type === "number") follow(from);
  moved();
});

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const by = event.submitter;
  if (by?.name === "step") stepped(by.value.slice(0, -1), by.value.endsWith("+") ? 1 : -1);
  else {
    clearTimeout(rest);
    asked?.stop.abort();
    ask(true);
  }
});

for (const each of slides) each.disabled = false;
