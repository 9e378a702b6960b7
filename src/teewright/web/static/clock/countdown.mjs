// The three times of a batch, from its mixing, its limits and the honest clock.

import { ms, read } from "./moments.mjs";
import { deadlines, ofInstallation, value } from "./state.mjs";

/** Minutes left at which the tablet sounds [min]. */
export const THRESHOLDS = [10, 5, 2, 0];

/**
 * What a batch is held to: the limits that were told when it was mixed, or those of the plan as
 * it is now, whichever is stricter.
 */
export function heldTo(limits, mixed) {
  const told = (name) => {
    const text = mixed ? value(mixed, name) : undefined;
    const found = text === undefined ? NaN : Number(text);
    return Number.isFinite(found) && found > 0 ? found : null;
  };
  const low = Math.max(limits.pressure_low, told("pressure_low") ?? 0);
  const high = Math.min(limits.pressure_high, told("pressure_high") ?? Infinity);
  const fits = low <= high;
  return {
    latest_inflation: Math.min(limits.latest_inflation, told("latest_inflation") ?? Infinity),
    release: Math.max(limits.release, told("release") ?? 0),
    pressure_low: fits ? low : limits.pressure_low,
    pressure_high: fits ? high : limits.pressure_high,
  };
}

/**
 * Times of an installation, or null before mixing.
 * @param {import("./time.mjs").HonestClock} clock
 * @param {object[]} log all events
 * @param {string} installation
 * @param {object} limits
 * @param {Map<string, object>} stamps by event id
 * @returns {null | {since: number, least: number, left: number, wait: number, unknown: boolean,
 *   mixed: number, inflateBy: number, releaseAt: number, limits: object,
 *   at: (event: object) => number}} lengths in ms, `least` since mixing for certain; `left` and
 *   `wait` are below 0 once past; times are on this tablet's scale, `at` gives that of an event
 */
export function countdown(clock, log, installation, limits, stamps) {
  const own = ofInstallation(log, installation);
  const due = deadlines(own, limits);
  if (!due) return null;
  const held = heldTo(limits, due.event);
  const original = own.find((event) => event.id === due.event.id);
  const moved = ms(read(due.event.at)) - ms(read(original.at)); // by a correction
  const stamp = stamps.get(due.event.id) ?? null;
  const at = (event) => hereOf(clock, event);
  const found = clock.since(stamp, at(original));
  const [least, most] = [found.least - moved, found.most - moved];
  const now = clock.now().most;
  return {
    since: most,
    least,
    left: held.latest_inflation * 1000 - most,
    wait: held.release * 1000 - least,
    unknown: found.unknown,
    mixed: at(original) + moved,
    inflateBy: now + held.latest_inflation * 1000 - most,
    releaseAt: now + held.release * 1000 - least,
    limits: held,
    at,
  };
}

/** When an event was, on this tablet's scale [ms]. */
export function hereOf(clock, event) {
  const told = value(event, "server_ahead");
  const written = ms(read(event.at));
  return told === undefined ? written : clock.here(written, Number(told) * 1000, event.device);
}

/**
 * Thresholds that were crossed between two looks at a time that runs down, the last one crossed.
 * @param {number | null} before time left at the last look [ms], null at the first
 * @param {number} now time left [ms]
 * @returns {number | null} the threshold [min], or null where none was crossed
 */
export function crossed(before, now) {
  if (before === null) return null;
  const found = THRESHOLDS.filter((t) => before > t * 60000 && now <= t * 60000);
  return found.length ? Math.min(...found) : null;
}
