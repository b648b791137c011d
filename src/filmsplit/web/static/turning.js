// Turn the marks on the rollers as fast, beside one another, as the press does, and swing the ductors over.
const SECONDS_A_TURN = 8;
const button = document.querySelector(".turner");
const members = [...document.querySelectorAll(".train-map .spin")].map((shown) => {
  const told = Object.fromEntries(Object.entries(shown.dataset).map(([name, text]) => [name, Number(text)]));
  return { ...told, shown, at: shown.dataset.at };
});
let plate = 0;
let before = null;
let running = false;

// Turns made since the start: all the time, or in two parts of every cycle.
function turned(member) {
  if (!member.cycle) return member.turns * plate;
  const cycles = Math.floor(plate / member.cycle);
  const done = plate / member.cycle - cycles;
  const away = (1 - member.feed - member.train) / 2;
  const fed = member.feed ? Math.min(done / member.feed, 1) : 1;
  const train = Math.min(Math.max(done - member.feed - away, 0), member.train);
  const trainTurns = member.turns * member.cycle;
  return cycles * (member.feedTurns + trainTurns * member.train) + member.feedTurns * fed + trainTurns * train;
}

// Where a ductor is between what it feeds from (0) and the train (1).
function swung(member) {
  const done = (plate / member.cycle) % 1;
  const away = (1 - member.feed - member.train) / 2;
  if (done < member.feed) return 0;
  if (away > 0 && done < member.feed + away) return (done - member.feed) / away;
  if (done < member.feed + away + member.train) return 1;
  return away > 0 ? (1 - done) / away : 1;
}

function show() {
  for (const member of members) {
    const turn = `rotate(${(360 * turned(member)) % 360} ${member.x} ${member.y})`;
    if (member.at) {
      const part = member.at === "feed" ? swung(member) : 1 - swung(member);
      member.shown.setAttribute("transform", `translate(${member.dx * part} ${member.dy * part}) ${turn}`);
    } else {
      member.shown.setAttribute("transform", turn);
    }
  }
}

function step(now) {
  if (!running) return;
  if (before !== null) plate += (now - before) / 1000 / SECONDS_A_TURN;
  before = now;
  show();
  requestAnimationFrame(step);
}

function run(asked) {
  running = asked;
  before = null;
  button.textContent = running ? button.dataset.stop : button.dataset.go;
  if (running) requestAnimationFrame(step);
}

button.hidden = false;
button.addEventListener("click", () => run(!running));
run(!matchMedia("(prefers-reduced-motion: reduce)").matches);
