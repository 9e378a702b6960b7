// The three times of a sheet, the one that decides first, each with what it means.

import { steps, value } from "./state.mjs";
import { isBeforePressure } from "./todo.mjs";
import { t } from "./texts.mjs";
import { clockTime, deadlineTime, duration, planTime, show } from "./units.mjs";

/**
 * @typedef {{label: string, value: string, unit: string, says: string}} Figure
 */

/** @returns {Figure[]} three of them */
export function figures({ state, times, collar, own }) {
  if (!times) return beforeMixing(collar);
  if (isBeforePressure(state)) return toInflation(times, collar);
  if (state.step === "at-pressure") return toRelease(times, own);
  return afterwards(times, own, state);
}

function figure(key, value, says, unit = "") {
  return { label: t(`clock.time.${key}`), value, unit, says };
}

function lengthOf(key, ms, says, up = false) {
  const { text, unit } = duration(ms, { up });
  return figure(key, text, says, unit);
}

/** What a deadline rests on, in words; nothing where an older snapshot does not tell. */
function governs(collar, limit) {
  const by = collar.governs?.[limit];
  return by ? t(`clock.time.by_${by}`) : "";
}

/** @returns {string} what is told, set apart by semicolons */
function joined(...parts) {
  return parts.filter(Boolean).join("; ");
}

/** The temperature for which the limits were found; nothing where only the limits are known. */
function holdsAt({ mix_temperature }) {
  return mix_temperature === null ? "" : t("clock.time.holds_at", { temperature: show(mix_temperature, "temperature") });
}

function beforeMixing(collar) {
  const { limits, planned } = collar;
  const holds = holdsAt(collar);
  const plan = planned ? planTime(planned.mix) : "–";
  return [
    lengthOf("from_mixing", limits.latest_inflation * 1000, joined(holds, governs(collar, "latest_inflation"))),
    figure("planned", plan, planned ? planned.mix.slice(0, 10) : t("clock.time.not_planned")),
    lengthOf("to_release", limits.release * 1000, joined(t("clock.time.after"), governs(collar, "release")), true),
  ];
}

function sinceFigure(times) {
  return lengthOf("since", times.since, t("clock.time.mixed_at", { time: clockTime(times.mixed) }));
}

function toInflation(times, collar) {
  const limit = deadlineTime(times.inflateBy);
  if (times.left <= 0) {
    return [
      lengthOf("past", -times.left, t("clock.time.limit_was", { time: limit })),
      sinceFigure(times),
      figure("then", t("clock.time.none"), t("clock.time.given_up")),
    ];
  }
  const by = t("clock.time.inflate_by", { time: limit });
  const left = lengthOf("left", times.left, joined(by, holdsAt(collar)));
  return [
    times.unknown ? { ...left, label: `${left.label}, ${t("clock.time.at_most")}` } : left,
    sinceFigure(times),
    lengthOf("wait", times.wait, releaseFrom(times), true),
  ];
}

function releaseFrom(times) {
  return t("clock.time.release_from", { time: deadlineTime(times.releaseAt, { up: true }) });
}

function toRelease(times, own) {
  const pressed = steps(own).find((event) => event.kind === "at-pressure");
  const wait = lengthOf("wait", times.wait, releaseFrom(times), true);
  const split = wait.unit && wait.value.includes(":");
  const held = split ? { ...wait, unit: "", says: `${t("clock.time.hours_minutes")}; ${wait.says}` } : wait;
  return [
    times.wait > 0 ? held : lengthOf("over", -times.wait, releaseFrom(times)),
    sinceFigure(times),
    metFigure(times, pressed),
  ];
}

function metFigure(times, pressed) {
  if (!pressed) return figure("left", t("clock.time.open"), "");
  const at = times.at(pressed);
  const spare = times.mixed + times.limits.latest_inflation * 1000 - at;
  const minutes = Math.floor(Math.abs(spare) / 60000);
  const key = spare >= 0 ? "met" : "missed";
  return figure("left", t(`clock.time.${key}`), t(`clock.time.${key}_at`, { time: clockTime(at), minutes }));
}

function afterwards(times, own, state) {
  const done = steps(own);
  const at = (kind) => {
    const event = done.find((found) => found.kind === kind);
    return event ? clockTime(times.at(event)) : "–";
  };
  const batch = value(done.find((event) => event.kind === "mixed") ?? { data: [] }, "batch");
  const last = state.aborted
    ? { label: t("clock.did.aborted"), value: at("aborted"), unit: "", says: "" }
    : figure("released", at("released"), "");
  return [
    last,
    figure("mixed", clockTime(times.mixed), batch ? t("clock.time.batch_of", { batch }) : ""),
    figure("pressure", at("at-pressure"), ""),
  ];
}
