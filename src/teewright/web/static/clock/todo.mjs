// The next action: where and how much, one caution, one button.

import { steps, ofInstallation, value } from "./state.mjs";
import { t } from "./texts.mjs";
import { clockTime, deadlineTime, inUnits, position, show } from "./units.mjs";

const USUAL_CAUSES = new Set([
  "Pressurised packer.", "Heat.", "Flow.", "Gas and access.", "Lifting.", "Traffic and waste.",
]);
const BEFORE_PRESSURE = new Set(["mixed", "wet-out", "lowered", "in-place"]);

/**
 * @typedef {{key: string, title: string, how: string[], caution: [string, string] | null,
 *   label: string, act: string, more: {label: string, act: string}[]}} Todo
 */

/** Whether a batch runs: mixed, and neither released nor given up. */
export function isLive(state) {
  return state.step !== null && (BEFORE_PRESSURE.has(state.step) || state.step === "at-pressure");
}

/** Whether the collar is not at pressure yet, though mixed. */
export function isBeforePressure(state) {
  return BEFORE_PRESSURE.has(state.step);
}

/**
 * What is to be done next at an installation.
 * @param {{installation: string, collar: object, state: object, times: object | null,
 *   log: object[], now: number, readingEvery: number}} given
 * @returns {Todo}
 */
export function todo(given) {
  const { state, times, collar } = given;
  if (state.aborted) return abortedTodo(given);
  if (state.step === null) return mixTodo(collar);
  if (isBeforePressure(state)) {
    if (times.left <= 0) return lateTodo(given);
    return inflating(given);
  }
  if (state.step === "at-pressure") return holding(given);
  if (state.step === "released") {
    return made("pull", {}, caution(collar, "Lifting."), "out");
  }
  return proving(given);
}

/** The (cause, act) pair of a cause, of those that go with a collar. */
export function caution(collar, cause) {
  return short(collar?.cautions.find(([found]) => found === cause));
}

/** The first hazard of the resin itself. */
export function hazard(collar) {
  return short(collar?.cautions.find(([cause]) => !USUAL_CAUSES.has(cause))) ?? caution(collar, "Heat.");
}

/** At the manhole its act is said in one sentence; the rest stands on the sheet of the design. */
function short(pair) {
  return pair ? [pair[0], inUnits(pair[1].split(/(?<=\.)\s+(?=[A-Z])/)[0])] : null;
}

function made(key, values, warned, act, more = []) {
  const how = t(`clock.todo.${key}_how`, values);
  return {
    key, title: t(`clock.todo.${key}`, values), how: [how], caution: warned,
    label: t(`clock.act.${act}`), act, more,
  };
}

function mixTodo(collar) {
  const { mass, mass_a, mass_b, packs } = collar.batch;
  const values = {
    mass: show(mass, "mass"), packs, a: show(mass_a, "mass"), b: show(mass_b, "mass"),
    connection: collar.connection, manhole: collar.manhole, distance: distanceOf(collar),
  };
  const found = made("mix", values, hazard(collar), "mixed");
  return packs === 1 ? { ...found, title: t("clock.todo.mix_one_pack", values) } : found;
}

function distanceOf(collar) {
  return collar.distance === null ? t("clock.unknown") : show(collar.distance, "length");
}

function inflating({ state, times, collar }) {
  const time = deadlineTime(times.inflateBy);
  const values = { time, packer: collar.packer, manhole: collar.manhole || t("clock.unknown"), ...pressures(times, collar) };
  if (state.step === "mixed") return made("soak", values, hazard(collar), "wet-out");
  if (state.step === "wet-out") return made("lower", values, caution(collar, "Lifting."), "lowered");
  if (state.step === "lowered") return placeTodo(collar);
  return made("inflate", values, caution(collar, "Pressurised packer."), "at-pressure");
}

function pressures({ limits }, collar) {
  const { pressure_low, pressure_high } = limits;
  const set = Math.min(Math.max(collar.pressure_set ?? pressure_high, pressure_low), pressure_high);
  return { set: show(set, "pressure"), low: show(pressure_low, "pressure"), high: show(pressure_high, "pressure") };
}

function placeTodo(collar) {
  const known = collar.position !== null;
  const seen = known ? position((12 - collar.position + 12) % 12) : "";
  const values = {
    distance: distanceOf(collar), manhole: collar.manhole || t("clock.unknown"),
    position: known ? position(collar.position) : "", seen,
  };
  const found = made("place", values, caution(collar, "Flow."), "in-place");
  const against = collar.against_flow && known;
  const how = [t(against ? "clock.todo.place_how_against" : "clock.todo.place_how", values)];
  if (collar.tolerance) {
    const { along, round } = collar.tolerance;
    how.push(t("clock.todo.place_off", { along: show(along, "small"), round: show(round, "angle") }));
  }
  return { ...found, title: known ? found.title : t("clock.todo.place_no_clock", values), how };
}

function lateTodo({ times, collar }) {
  const sure = times.limits.latest_inflation * 1000 - times.least <= 0 && !times.unknown;
  if (!sure) {
    return {
      ...made("doubt", {}, caution(collar, "Heat."), "confirm"),
      more: [{ label: t("clock.act.given_up"), act: "give-up" }],
    };
  }
  return { ...made("late", {}, caution(collar, "Heat."), "given_up"), act: "give-up" };
}

function holding({ times, collar, log, installation, now, readingEvery }) {
  const values = { ...pressures(times, collar), time: deadlineTime(times.releaseAt, { up: true }) };
  const warned = caution(collar, "Pressurised packer.");
  const reading = { label: t("clock.act.reading"), act: "reading" };
  if (times.wait <= 0) {
    return { ...made("release", values, warned, "released"), more: [reading] };
  }
  if (times.limits.release * 1000 - times.since <= 0) {
    return { ...made("hold_doubt", values, warned, "confirm"), more: [reading] };
  }
  const due = readingDue(ofInstallation(log, installation), now, readingEvery, times);
  const key = due === null || due <= now ? "hold_now" : "hold";
  const found = made("hold", values, warned, "reading");
  return { ...found, key, title: t(`clock.todo.${key}`, { time: clockTime(due ?? now) }) };
}

function readingDue(own, now, every, times) {
  const read = steps(own).filter((e) => e.kind === "reading" || e.kind === "at-pressure");
  const last = read.at(-1);
  if (!last) return null;
  const pressed = last.kind === "reading" || value(last, "pressure") !== undefined;
  if (!pressed) return null;
  return Math.min(times.at(last) + every * 1000, Math.max(now, times.releaseAt));
}

function proving({ state, collar, log, installation }) {
  const kinds = new Set(steps(ofInstallation(log, installation)).map((event) => event.kind));
  const waste = caution(collar, "Traffic and waste.");
  const more = ["more_test", "new_test"].map((key) => ({ label: t(`clock.act.${key}`), act: key === "new_test" ? "new-test" : "test-reading" }));
  if (state.finished) return { ...made("done", {}, null, "list"), more };
  if (!kinds.has("test-reading")) {
    const look = [{ label: t("clock.act.inspected"), act: "inspected" }];
    if (kinds.has("inspected")) return made("test_after", {}, waste, "test-reading");
    return made("test", {}, waste, "test-reading", look);
  }
  return made("inspect", {}, waste, "inspected", more);
}

function abortedTodo({ log, installation, collar, nextAttempt }) {
  const event = steps(ofInstallation(log, installation)).findLast((e) => e.kind === "aborted");
  const reason = (event && value(event, "reason")) || t("clock.todo.aborted_no_reason");
  const found = made("aborted", { reason }, caution(collar, "Heat."), "list");
  const label = t("clock.act.attempt", { n: nextAttempt });
  return { ...found, more: nextAttempt ? [{ label, act: "attempt" }] : [] };
}
