// Decisions: a key or a button names the need, a small dialog asks for the reason.

const texts = JSON.parse(document.getElementById("texts")?.textContent ?? "{}");
const dialog = document.getElementById("decide");
const REASON = "teewright reason";

/** @param {string} words @param {Record<string, string | number>} values */
export function said(words, values) {
  return words.replace(/\{(\w+)\}/g, (_, name) => String(values[name] ?? ""));
}

export { texts };

/** Whether a key was meant for the page and not for a field. @param {KeyboardEvent} event */
export function forPage(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || dialog?.open) return false;
  return !event.target.closest?.("input, select, textarea, [contenteditable]");
}

/**
 * Ask for the reason of a decision.
 * @param {string} connection its id
 * @param {string} key letter of the need
 * @param {string} back where to go on
 * @param {((answer: any) => void) | null} kept told what the server answers; null to load the page
 * @param {() => void} [sent] told when it is on its way
 */
export function decide(connection, key, back, kept = null, sent = () => {}) {
  const choice = texts.choices?.[key];
  if (!dialog || !choice) return;
  const form = dialog.querySelector("form");
  form.elements.connection.value = connection;
  form.elements.need.value = choice.need;
  form.elements.back.value = back;
  form.elements.why.value = sessionStorage.getItem(REASON) ?? "";
  dialog.querySelector("#decide-what").textContent = said(texts.title, { connection });
  dialog.querySelector("#decide-need").textContent = choice.word;
  dialog.querySelector(".work").hidden = key !== "r";
  if (key !== "r") form.elements.work.value = "";
  const fault = dialog.querySelector("#decide-fault");
  fault.textContent = "";
  form.onsubmit = async (event) => {
    sessionStorage.setItem(REASON, form.elements.why.value);
    if (!kept) return;
    event.preventDefault();
    sent();
    const problem = await post(form.action, new FormData(form), kept);
    if (problem) fault.textContent = said(texts.failed, { said: problem });
    else dialog.close();
  };
  dialog.showModal();
  form.elements.why.focus();
  form.elements.why.select();
}

/**
 * Send a form; tells what the server answers.
 * @returns {Promise<string>} why it failed, or ""
 */
export async function post(address, body, kept) {
  try {
    const answer = await fetch(address, {
      method: "POST",
      body: new URLSearchParams(body),
      headers: {
        Accept: "application/json",
        "HX-Request": "true",
        "X-CSRF-Token": document.body.dataset.csrf ?? "",
      },
    });
    const told = await answer.json();
    if (!answer.ok) return told.detail ?? answer.statusText;
    kept(told);
    return "";
  } catch (error) {
    return String(error);
  }
}

dialog?.querySelector("[data-close]")?.addEventListener("click", () => dialog.close());
