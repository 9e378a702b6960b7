// Entries that the server refused: told with the reason, sent again, or corrected.
//
// A refused entry stays on the tablet and in its files as it was. What is corrected is a new entry
// that names the one in whose place it stands.

import { ask } from "./dialogs.mjs";
import { button, h } from "./dom.mjs";
import { numberField } from "./keypad.mjs";
import { kindWords } from "./loglines.mjs";
import { ms, read, written } from "./moments.mjs";
import { newId } from "./outbox.mjs";
import { t } from "./texts.mjs";
import { clockTime, of } from "./units.mjs";

const QUANTITIES = { temperature: "temperature", volume: "volume" };
/** Values that are typed again as they are; others are not for people. */
const WORDS = ["batch", "text", "reason", "method", "test"];
const MOMENT = /^(\d{4})-(\d{2})-(\d{2}) (\d{2}):(\d{2})(?::(\d{2}))?$/;

/**
 * Show refused entries.
 * @param {import("./main.mjs").App} app
 * @param {import("./outbox.mjs").Entry[]} entries
 * @returns {Promise<boolean>} whether one goes on its way again
 */
export async function lookAtRefused(app, entries) {
  const chosen = await ask(t("clock.ask.refused_title"), (done) => [
    h("p", { className: "second" }, t("clock.ask.refused_how")),
    h("ul", { className: "refused" }, entries.map((entry) => h(
      "li", {}, h("b", {}, `${clockTime(ms(read(entry.draft.at)))} ${kindWords(entry.draft)}, ${entry.draft.installation}`), h("p", {}, entry.said),
      h("div", { className: "files" },
        button(t("clock.ask.refused_again"), () => done({ entry })),
        button(t("clock.ask.refused_correct"), () => done({ entry, correct: true }))),
    ))),
  ]);
  if (!chosen) return false;
  const { entry, correct } = chosen;
  if (!correct) await app.book.retry(entry.id);
  else {
    const right = await askRight(entry);
    if (!right) return false;
    await app.book.replace(entry.id, right);
  }
  app.changed();
  app.sync.kick();
  return true;
}

/** Ask what is right; resolves to the entry that stands in its place, or null. */
function askRight({ draft, said }) {
  const shown = shownMoment(draft.at);
  return ask(kindWords(draft), (done) => {
    const fault = h("p", { className: "fault", role: "alert" });
    const time = h("input", { value: shown, autocomplete: "off" });
    const person = h("input", { value: draft.person, autocomplete: "off", maxLength: 40 });
    const fields = draft.data.map(([name, value]) => fieldOf(draft, name, value)).filter(Boolean);
    const log = () => {
      const at = time.value.trim() === shown ? draft.at : momentOf(time.value.trim());
      const values = new Map(fields.map(({ name, read: typed }) => [name, typed()]));
      if (!at) fault.textContent = t("clock.ask.refused_time", { value: time.value });
      else if (!person.value.trim()) fault.textContent = t("clock.ask.refused_person");
      else if (![...values.values()].includes(undefined)) done(replacement(draft, { at, person: person.value.trim(), values }));
    };
    return [
      h("p", { className: "second" }, said),
      h("label", { className: "words" }, t("clock.ask.correct_time"), time),
      h("label", { className: "words" }, t("clock.list.who"), person),
      ...fields.map(({ element }) => element), fault, button(t("clock.save"), log, { className: "act wide" }),
    ];
  });
}

function fieldOf(draft, name, value) {
  const quantity = name === "pressure" ? (draft.kind === "test-reading" ? "test" : "pressure") : QUANTITIES[name];
  if (quantity) {
    const { factor, offset, digits } = of(quantity);
    const known = ((Number(value) - offset) / factor).toFixed(digits);
    const shown = Number.isFinite(Number(value)) ? known : value;
    const field = numberField({ label: t(`clock.ask.value_${name}`), quantity, value: shown, keys: false, required: true });
    // left as it is shown, it is not changed: what is shown is rounded
    const same = () => field.input.value === shown && shown === known;
    const typed = () => (same() ? value : text(field.read()));
    return { name, element: field.element, read: typed };
  }
  if (!WORDS.includes(name)) return null;
  const field = h("input", { value, autocomplete: "off", maxLength: 400 });
  return { name, element: h("label", { className: "words" }, t(`clock.ask.value_${name}`), field), read: () => field.value.trim() };
}

function text(number) {
  return number === undefined ? undefined : String(number);
}

function replacement(draft, { at, person, values }) {
  const { installation, kind } = draft;
  const told = draft.data.filter(([name]) => name !== "replaces").map(([name, value]) => [name, values.get(name) ?? value]);
  const data = [...told.filter(([, value]) => value !== ""), ["replaces", draft.id]];
  return { id: newId(), installation, kind, at, person, data };
}

function shownMoment(at) {
  return written(ms(read(at))).slice(0, 19).replace("T", " ");
}

/** A typed moment of this tablet as it is logged, or "". */
function momentOf(typed) {
  const found = MOMENT.exec(typed);
  if (!found) return "";
  const [year, month, day, hour, minute, second = 0] = found.slice(1).map((part) => Number(part ?? 0));
  const made = new Date(year, month - 1, day, hour, minute, second);
  const back = [made.getMonth() + 1, made.getDate(), made.getHours(), made.getMinutes()];
  return [month, day, hour, minute].every((part, n) => part === back[n]) ? written(made.getTime()) : "";
}
