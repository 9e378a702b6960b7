// Entries of an installation as they are read: newest first, corrected where they were.

import { ms, read } from "./moments.mjs";
import { effective, testOf, value } from "./state.mjs";
import { t } from "./texts.mjs";
import { clockTime, show } from "./units.mjs";

/**
 * @param {object[]} own events of one installation
 * @param {object[]} refused entries of it that the server refused
 * @param {(event: object) => number} at time of an event on this tablet's scale [ms]
 * @returns {{id: string, time: string, what: string, more: string}[]} newest first
 */
export function lines(own, refused, at) {
  const counted = new Map(effective(own).map((event) => [event.id, event]));
  const not = new Map(refused.map(({ id, said }) => [id, t("clock.did.refused", { said })]));
  const found = own.map((event) => {
    const read = line(event, counted.get(event.id), own, at);
    return not.has(event.id) ? { ...read, more: not.get(event.id) } : read;
  });
  return found.reverse().sort((one, other) => other.key - one.key).map(({ key: _, ...rest }) => rest);
}

function line(event, effectiveOne, own, at) {
  const shown = event.kind === "corrected" ? event : (effectiveOne ?? event);
  const key = at(event);
  const moved = shown.at !== event.at;
  const time = moved ? clockTime(key + ms(read(shown.at)) - ms(read(event.at))) : clockTime(key);
  const more = event.kind === "corrected" ? correctionSays(event, own, at) : says(shown);
  if (moved) more.push(t("clock.did.was", { time: clockTime(key) }));
  if (event.kind !== "corrected" && !effectiveOne) more.push(t("clock.did.taken_back"));
  if (event.waits) more.push(t("clock.did.unsent"));
  return { id: event.id, key, time, what: what(event, shown), more: more.filter(Boolean).join(", ") };
}

function what(event, shown) {
  const words = kindWords(shown);
  if (event.kind === "note") return value(shown, "text") || words;
  const pressure = value(shown, "pressure");
  if (pressure === undefined || !Number.isFinite(Number(pressure))) return words;
  return `${words}, ${show(Number(pressure), event.kind === "test-reading" ? "test" : "pressure")}`;
}

/** What happened, in words. */
export function kindWords(event) {
  return t(`clock.did.${event.kind}`, { label: testOf(event) });
}

function says(event) {
  const found = [];
  const batch = value(event, "batch");
  const warmth = value(event, "temperature");
  const elapsed = value(event, "elapsed");
  const name = value(event, "signed_in");
  if (name && name !== event.person) found.push(t("clock.did.signed_in", { person: event.person, name }));
  if (batch) found.push(t("clock.did.batch", { batch }));
  if (warmth !== undefined) found.push(show(Number(warmth), "temperature"));
  if (elapsed !== undefined) found.push(t("clock.did.elapsed", { seconds: Number(elapsed) }));
  if (value(event, "photo")) found.push(t("clock.did.photo"));
  if (value(event, "readings_file")) found.push(t("clock.did.file"));
  found.push(value(event, "reason") ?? "");
  if (event.kind !== "note") found.push(value(event, "text") ?? "");
  return found;
}

function correctionSays(event, own, at) {
  const target = own.find((found) => found.id === value(event, "event"));
  const found = target ? [`${clockTime(at(target))} ${what(target, target)}`] : [];
  if (value(event, "void") === "yes") found.push(t("clock.did.taken_back"));
  return [...found, value(event, "reason") ?? ""];
}
