// Says what is done now; shows the page itself as soon as what it waits for is there.
const status = document.querySelector("[data-stage]");
const EVERY_MS = 400;

async function look() {
  try {
    const answer = await fetch(status.dataset.stage, { headers: { accept: "application/json" } });
    const told = await answer.json();
    if (told.over) {
      location.reload();
      return;
    }
    if (status.textContent !== told.words) status.textContent = told.words;
  } catch {
    // The workbench may be busy or gone: ask again.
  }
  setTimeout(look, EVERY_MS);
}

setTimeout(look, EVERY_MS);
