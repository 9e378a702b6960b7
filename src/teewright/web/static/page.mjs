// What every page needs: the token of the form goes with each request, a finished task shows the
// page anew, print.

document.body.addEventListener("htmx:config:request", (event) => {
  const headers = event.detail.ctx?.request?.headers ?? event.detail.headers;
  if (headers) headers["X-CSRF-Token"] = document.body.dataset.csrf;
});

function settle() {
  const task = document.querySelector("#task[data-state]");
  if (task && task.dataset.watched && task.dataset.state === "done") location.reload();
  if (task && task.dataset.state === "running") task.dataset.watched = "yes";
}

new MutationObserver((changes) => {
  for (const change of changes) {
    for (const node of change.addedNodes) {
      if (node.id === "task" && node.dataset.state !== "running") location.reload();
    }
  }
  settle();
}).observe(document.body, { childList: true, subtree: true });

document.addEventListener("click", (event) => {
  if (event.target.closest?.("[data-act=print]")) window.print();
});
