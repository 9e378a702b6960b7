// Correct an entry: the entry stays as it was; the correction is one of its own.

import { ask } from "./dialogs.mjs";
import { button, h } from "./dom.mjs";
import { numberField } from "./keypad.mjs";
import { kindWords } from "./loglines.mjs";
import { ms, read, written } from "./moments.mjs";
import { disorder, effective, value } from "./state.mjs";
import { t } from "./texts.mjs";
import { clockTime, of } from "./units.mjs";

/**
 * Ask which entry is wrong and what is right.
 * @param {object[]} own events of the installation, in the order of the log
 * @param {number} now [ms]
 * @param {(event: object) => boolean} theirs whether who is signed in may correct an entry
 * @returns {Promise<null | [string, string][]>} data of the correction
 */
export async function askCorrection(own, now, theirs) {
  const open = effective(own).filter((event) => event.kind !== "note" && theirs(event)).reverse();
  const chosen = await ask(t("clock.ask.correct_title"), (done) => [
    open.length ? null : h("p", {}, t("clock.ask.correct_none")),
    h("div", { className: "many" }, open.map((event) => {
      const words = `${clockTime(ms(read(event.at)))} ${kindWords(event)}`;
      return button(words, () => done(event), { className: "act quiet wide" });
    })),
  ]);
  return chosen ? askRight(own, chosen, now) : null;
}

function askRight(own, event, now) {
  const at = ms(read(event.at));
  const title = `${clockTime(at)} ${kindWords(event)}`;
  return ask(title, (done) => {
    const time = h("input", { value: clockTime(at), autocomplete: "off", inputMode: "numeric" });
    const gauge = gaugeField(event);
    const reason = h("input", { autocomplete: "off", maxLength: 200 });
    const fault = h("p", { className: "fault", role: "alert" });
    const finish = (changes) => {
      if (!reason.value.trim()) {
        fault.textContent = t("clock.ask.correct_reason_missing");
        reason.focus();
        return;
      }
      const data = [["event", event.id], ...changes, ["reason", reason.value.trim()]];
      const broken = disorder([...own, correction(event, data, now)]);
      if (broken && broken !== disorder(own)) fault.textContent = t("clock.ask.correct_out", { said: broken });
      else done(data);
    };
    const log = () => {
      const moved = timeOf(time.value, at, now);
      if (moved === undefined) fault.textContent = t("clock.ask.time_wrong", { value: time.value });
      const pressure = gauge ? gauge.read() : null;
      if (moved === undefined || pressure === undefined) return;
      const changes = [];
      if (moved !== null) changes.push(["at", written(moved)]);
      if (pressure !== null && String(pressure) !== value(event, "pressure")) changes.push(["pressure", String(pressure)]);
      if (changes.length) finish(changes);
      else fault.textContent = t("clock.ask.correct_nothing");
    };
    return [
      h("label", { className: "words" }, t("clock.ask.correct_time"), time),
      gauge?.element ?? null,
      h("label", { className: "words" }, t("clock.ask.correct_reason"), reason),
      fault,
      button(t("clock.save"), log, { className: "act wide" }),
      button(t("clock.ask.correct_back"), () => finish([["void", "yes"]]), { className: "act quiet wide" }),
    ];
  });
}

function gaugeField(event) {
  if (!["at-pressure", "reading", "test-reading"].includes(event.kind)) return null;
  const quantity = event.kind === "test-reading" ? "test" : "pressure";
  const known = value(event, "pressure");
  const { factor, offset, digits } = of(quantity);
  const shown = known === undefined ? "" : ((Number(known) - offset) / factor).toFixed(digits);
  const field = numberField({ label: t("clock.ask.pressure"), quantity, value: shown, keys: false });
  // left as it is shown, it is not changed: what is shown is rounded
  return { element: field.element, read: () => (field.input.value === shown ? null : field.read()) };
}

/** A typed time on the day of another, never later than now; null where it is the same minute. */
function timeOf(text, at, now) {
  const found = /^([01]?\d|2[0-3])[:.h]([0-5]\d)(?::([0-5]\d))?$/.exec(text.trim());
  if (!found) return undefined;
  const same = found[3] === undefined && clockTime(at) === `${found[1].padStart(2, "0")}:${found[2]}`;
  if (same) return null;
  const day = new Date(at);
  day.setHours(Number(found[1]), Number(found[2]), Number(found[3] ?? 0), 0);
  const half = 12 * 3600 * 1000;
  let moved = day.getTime();
  if (moved - at > half) moved -= 2 * half;
  if (at - moved > half) moved += 2 * half;
  return Math.min(moved, now);
}

function correction(event, data, now) {
  const { installation, device, person } = event;
  return { id: "", installation, kind: "corrected", at: written(now), recorded: null, device, sequence: 0, person, data };
}
