// Bring files by dropping them, or as soon as they are chosen; what was typed below goes along.
const form = document.querySelector("form.bring");
const files = form.querySelector("input[type=file]");
const typed = document.querySelector("form[action='/jobs/set']");

function takeAlong() {
  for (const [name, value] of new FormData(typed)) {
    if (name === "work" || typeof value !== "string") continue;
    let field = form.querySelector(`input[type=hidden][name="${CSS.escape(name)}"]`);
    if (!field) {
      field = document.createElement("input");
      field.type = "hidden";
      field.name = name;
      form.append(field);
    }
    field.value = value;
  }
}

function send() {
  if (files.files.length) form.requestSubmit();
}

form.addEventListener("submit", () => {
  takeAlong();
  form.querySelector("[role=status]").textContent = form.dataset.reading;
});
files.addEventListener("change", send);
for (const kind of ["dragenter", "dragover"]) {
  form.addEventListener(kind, (event) => {
    event.preventDefault();
    form.classList.add("over");
  });
}
for (const kind of ["dragleave", "drop"]) form.addEventListener(kind, () => form.classList.remove("over"));
form.addEventListener("drop", (event) => {
  event.preventDefault();
  if (event.dataTransfer.files.length) {
    files.files = event.dataTransfer.files;
    send();
  }
});
