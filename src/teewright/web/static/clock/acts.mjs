// What the buttons of a sheet do: each ends in one entry, or in none where it was closed.

import { askCorrection } from "./correct.mjs";
import { askInspection, askLogger, askNote, askOther, askPressure, askReason, askTest, askTime } from "./dialogs.mjs";
import { KINDS, nextActions, ofInstallation, steps, value } from "./state.mjs";
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
  const done = ACTS[act];
  if (done) return done(app, view);
  return app.log(installation, [{ kind: act }]);
}

const ACTS = {
  mixed: (app, view) => app.log(view.installation, [{ kind: "mixed", data: mixedData(app, view) }]),
  "at-pressure": pressed,
  reading,
  "test-reading": test,
  inspected: inspect,
  "give-up": (app, view) => app.log(view.installation, [{ kind: "aborted", data: [["reason", t("clock.reason.late")]] }]),
  abort,
  confirm: (app) => confirmTime(app),
  list: async (app) => app.go("/clock"),
  attempt: async (app, view) => app.go(app.address(`${view.connection}#${view.nextAttempt}`)),
  note,
  logger,
  correct: async (app, view) => {
    const data = await askCorrection(view.own, app.clock.now().most);
    return data !== null && app.log(view.installation, [{ kind: "corrected", data }]);
  },
  other: async (app, view) => {
    const usual = new Set(nextActions(view.installation, view.events).slice(0, 1));
    const kind = await askOther(STEPS.filter((found) => !usual.has(found)));
    return kind !== null && app.log(view.installation, [{ kind }]);
  },
};

function mixedData(app, view) {
  const { batch = "", temperature = null } = app.typed(view.installation);
  const { latest_inflation, release } = view.collar.limits;
  return [
    ...(batch.trim() ? [["batch", batch.trim()]] : []),
    ...(temperature === null ? [] : [["temperature", String(temperature)]]),
    ["latest_inflation", String(latest_inflation)],
    ["release", String(release)],
  ];
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

function lastTest(view) {
  const readings = steps(view.own).filter((event) => event.kind === "test-reading");
  return { method: readings.map((event) => value(event, "method")).find(Boolean) ?? "", count: readings.length };
}

async function test(app, view) {
  const known = lastTest(view);
  const found = await askTest({ method: known.method });
  if (!found) return false;
  const data = [["pressure", String(found.pressure)]];
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
  const done = new Set(steps(view.own).map((event) => event.kind));
  const found = await askLogger({ held: done.has("at-pressure"), tested: done.has("out") || !done.has("at-pressure") });
  if (!found) return false;
  const made = found.rows.map((data, n) => ({
    kind: found.kind,
    data: n === 0 ? [...data, ["source", found.name.slice(0, 200)], ...(found.file ? [["readings_file", found.file.sha256]] : [])] : data,
    files: n === 0 && found.file ? [found.file] : [],
  }));
  return app.log(view.installation, made);
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
