// What the buttons of a sheet do: each ends in one entry, or in none where it was closed.

import { askCorrection } from "./correct.mjs";
import { askInspection, askLogger, askNote, askOther, askPressure, askReason, askTest, askTime } from "./dialogs.mjs";
import { lookAtRefused } from "./refused.mjs";
import { KINDS, NAMES, nextActions, ofInstallation, steps, testOf, value } from "./state.mjs";
import { t } from "./texts.mjs";
import { clockTime } from "./units.mjs";

const STEPS = KINDS.filter((kind) => !["corrected", "note", "reading", "test-reading", "aborted"].includes(kind));

/**
 * Do an act.
 * @param {import("./main.mjs").App} app
 * @param {object} view of the installation
 * @param {string} act
 * @returns {Promise<boolean>} whether something was logged
 */
export async function perform(app, view, act) {
  const { installation } = view;
  const found = ACTS[act];
  if (found) return found(app, view);
  return app.log(installation, [{ kind: act }]);
}

const ACTS = {
  mixed: mix,
  "at-pressure": pressed,
  reading,
  "test-reading": (app, view) => test(app, view, lastTest(view)),
  "new-test": (app, view) => test(app, view, newTest(view)),
  inspected: inspect,
  "give-up": (app, view) => app.log(view.installation, [{ kind: "aborted", data: [["reason", t("clock.reason.late")]] }]),
  abort,
  confirm: (app) => confirmTime(app),
  list: async (app) => app.go("/clock"),
  attempt: async (app, view) => app.go(app.address(`${view.connection}#${view.nextAttempt}`)),
  note,
  logger,
  refused: (app, view) => lookAtRefused(app, view.refused),
  correct: async (app, view) => {
    const data = await askCorrection(view.own, app.clock.now().most, ({ kind }) => app.book.may(kind));
    return data !== null && app.log(view.installation, [{ kind: "corrected", data }]);
  },
  other: async (app, view) => {
    const usual = new Set(nextActions(view.installation, view.events).slice(0, 1));
    const kind = await askOther(STEPS.filter((found) => !usual.has(found)));
    return kind !== null && app.log(view.installation, [{ kind }]);
  },
};

function mix(app, view) {
  const { batch = "", temperature = null, label = null } = app.typed(view.installation);
  const photo = named(label);
  const data = [
    ...(batch.trim() ? [["batch", batch.trim()]] : []),
    ...(temperature === null ? [] : [["temperature", String(temperature)]]),
    ...NAMES.map((name) => [name, String(view.collar.limits[name])]), // what is told now counts
    ...photo.data,
  ];
  return app.log(view.installation, [{ kind: "mixed", data, files: photo.files }]);
}

async function pressed(app, view) {
  if (!(await app.log(view.installation, [{ kind: "at-pressure" }]))) return false;
  await reading(app, view, { skip: true });
  return true;
}

async function reading(app, view, how = {}) {
  const found = await askPressure(how);
  if (!found) return false;
  const data = [["pressure", String(found.pressure)]];
  if (found.temperature !== null) data.push(["temperature", String(found.temperature)]);
  return app.log(view.installation, [{ kind: "reading", data }]);
}

/** The leak test that is under way: its label, its method if one was told. */
function lastTest(view) {
  const readings = steps(view.own).filter((event) => event.kind === "test-reading");
  const labels = [...new Set(readings.map(testOf))];
  const label = labels.at(-1) ?? "1";
  const own = readings.filter((event) => testOf(event) === label);
  return { label, labels, method: own.map((event) => value(event, "method")).find(Boolean) ?? "" };
}

/** The next leak test, e.g. after one that failed: its readings are judged for themselves. */
function newTest(view) {
  const { labels } = lastTest(view);
  const numbers = labels.map(Number).filter(Number.isInteger);
  return { label: String(Math.max(labels.length, ...numbers) + 1), labels, method: "" };
}

async function test(app, view, known) {
  const found = await askTest(known);
  if (!found) return false;
  const data = [["test", known.label], ["pressure", String(found.pressure)]];
  if (found.volume !== null) data.push(["volume", String(found.volume)]);
  if (!known.method) data.push(["method", found.method]);
  return app.log(view.installation, [{ kind: "test-reading", data }]);
}

function named(file) {
  return file ? { files: [file], data: [["photo", file.sha256]] } : { files: [], data: [] };
}

async function inspect(app, view) {
  const found = await askInspection();
  if (!found) return false;
  const { files, data } = named(found.file);
  const text = found.text ? [["text", found.text]] : [];
  return app.log(view.installation, [{ kind: "inspected", data: [...text, ...data], files }]);
}

async function note(app, view) {
  const found = await askNote();
  if (!found) return false;
  const { files, data } = named(found.file);
  const text = found.text ? [["text", found.text]] : [];
  return app.log(view.installation, [{ kind: "note", data: [...text, ...data], files }]);
}

async function logger(app, view) {
  const pressed = steps(view.own).find((event) => event.kind === "at-pressure");
  const held = pressed !== undefined;
  const found = await askLogger({
    held, tested: done(view, "out") || !held, method: lastTest(view).method,
    from: held ? view.at(pressed) : 0, now: app.clock.now().most,
  });
  if (!found) return false;
  if (found.kind === "test-reading") found.rows = testRows(view, found);
  const made = found.rows.map((data, n) => ({
    kind: found.kind,
    data: n === 0 ? [...data, ["source", found.name.slice(0, 200)], ...(found.file ? [["readings_file", found.file.sha256]] : [])] : data,
    files: n === 0 && found.file ? [found.file] : [],
  }));
  return app.log(view.installation, made);
}

/** A file is a test of its own: its times count from its own beginning. */
function testRows(view, { rows, method }) {
  const { label } = done(view, "test-reading") ? newTest(view) : lastTest(view);
  return rows.map((row, n) => {
    const told = row.some(([name]) => name === "method");
    const kept = row.filter(([name]) => name !== "test");
    return [["test", label], ...kept, ...(n === 0 && !told ? [["method", method]] : [])];
  });
}

function done(view, kind) {
  return steps(view.own).some((event) => event.kind === kind);
}

async function abort(app, view) {
  const mark = app.clock.stamp();
  const reason = await askReason(clockTime(mark.at));
  if (reason === null) return false;
  return app.log(view.installation, [{ kind: "aborted", data: [["reason", reason]] }], mark);
}

/** Take the time of another watch. */
export async function confirmTime(app) {
  const { least, most, unknown } = app.clock.now();
  const minuteOf = (hour, minute) => {
    const near = new Date(most);
    near.setHours(hour, minute, 0, 0);
    const half = 12 * 3600 * 1000;
    const at = near.getTime();
    return at - most > half ? at - 2 * half : most - at > half ? at + 2 * half : at;
  };
  const check = (hour, minute) => {
    const at = minuteOf(hour, minute);
    if (at + 59999 >= app.clock.now().least) return "";
    const time = `${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`;
    return t("clock.ask.confirm_early", { time, certain: clockTime(app.clock.now().least) });
  };
  const answer = await askTime({ now: clockTime(most), unknown, check });
  if (!answer) return false;
  const [hour, minute] = (answer.minute ?? "").split(":").map(Number);
  const told = answer.minute === null ? null : minuteOf(hour, minute);
  if (!app.clock.confirm(told)) return false;
  const data = [
    ["text", t("clock.note.confirmed")], ["watch", answer.minute ?? clockTime(most)],
    ["certain", clockTime(least)], ["tablet", clockTime(most)],
  ];
  await app.saveLedger();
  return app.noteLive(data);
}

/** Events of an installation. */
export function ownOf(events, installation) {
  return ofInstallation(events, installation);
}
