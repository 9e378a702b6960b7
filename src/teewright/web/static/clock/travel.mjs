// Entries that travel as a file: saved here, given to any page of the clock that has a signal.

import { h } from "./dom.mjs";
import { body } from "./outbox.mjs";
import { t } from "./texts.mjs";

/**
 * Save what the server has not confirmed, and what could not be stored: a file for each job.
 * @param {import("./main.mjs").App} app
 */
export function saveFile(app) {
  const unsaved = (app.unsaved?.drafts ?? []).map((draft, n) => unsavedEntry(draft, app, n));
  const all = [...app.book.unsent(), ...unsaved];
  const jobs = [...new Set(all.map(({ project }) => project))];
  for (const job of jobs.length ? jobs : [app.book.project]) {
    const text = body(job, all.filter(({ project }) => project === job));
    const which = jobs.length > 1 ? `-${job.slice(0, 6)}` : "";
    const link = h("a", { href: URL.createObjectURL(new Blob([text], { type: "application/json" })), download: `entries-${app.device}${which}.json` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }
}

/**
 * Give the entries of a file to the server, which takes what is whole of it.
 * @param {import("./main.mjs").App} app
 * @param {File} file
 */
export async function giveFile(app, file) {
  app.said = t("clock.sent.asking");
  app.changed();
  app.said = await given(app, file);
  app.sync.kick();
  app.changed();
}

async function given(app, file) {
  try {
    const { answers, whole, said } = await app.sync.postFile(file);
    const kept = answers.filter((answer) => answer.kept).length;
    const refused = answers.filter((answer) => !answer.kept);
    const words = [t("clock.list.imported", { kept, refused: refused.length })];
    if (refused.length) words.push(t("clock.list.imported_why", { said: refused[0].said }));
    return [...words, ...(whole ? [] : [said])].join(" ");
  } catch (error) {
    if (error.status === 422) return t("clock.list.imported_none");
    return error.status === undefined ? t("clock.list.import_no_signal") : error.message;
  }
}

function unsavedEntry({ files, stamp: _, ...rest }, app, n) {
  const draft = { ...rest, device: `${app.device}-unsaved`, sequence: n + 1 };
  return { id: draft.id, project: app.book.project, state: "waiting", said: "", draft, files };
}
