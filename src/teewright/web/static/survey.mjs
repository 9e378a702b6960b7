// Files may be dropped anywhere on the page; they are sent as if they had been chosen.

const form = document.getElementById("give");
const input = document.getElementById("files");
let within = 0;

const holdsFiles = (event) => [...(event.dataTransfer?.types ?? [])].includes("Files");

function mark(over) {
  within = over ? within : 0;
  form.classList.toggle("over", over);
}

if (form && input) {
  document.addEventListener("dragenter", (event) => {
    if (!holdsFiles(event)) return;
    within += 1;
    mark(true);
  });
  document.addEventListener("dragleave", (event) => {
    if (holdsFiles(event) && --within <= 0) mark(false);
  });
  document.addEventListener("dragover", (event) => {
    if (holdsFiles(event)) event.preventDefault();
  });
  document.addEventListener("drop", (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    mark(false);
    if (!event.dataTransfer.files.length) return;
    input.files = event.dataTransfer.files;
    form.requestSubmit();
  });
}
