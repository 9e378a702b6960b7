// Numbers with their units, as the reader wants them: metric or US customary.

import { roundEven } from "./moments.mjs";
import { t } from "./texts.mjs";

let us = document.body?.dataset.units === "us";
const ZERO = 273.15;
/** Where hours are told without minutes, and where days are told instead [min]. */
const LONG = 100 * 60;
const LONGEST = 1000 * 60;
const PSI = 6894.757293168361;

/**
 * Quantities that are typed or shown: `si = shown * factor + offset`.
 * `low` and `high` are what the log takes [SI].
 */
const METRIC_OF = {
  pressure: { unit: "bar", factor: 1e5, offset: 0, digits: 2, low: 0, high: 2e7 },
  test: { unit: "mbar", factor: 100, offset: 0, digits: 0, low: 0, high: 2e7 },
  temperature: { unit: "°C", factor: 1, offset: ZERO, digits: 1, low: 213.15, high: 673.15 },
  volume: { unit: "l", factor: 1e-3, offset: 0, digits: 2, low: 0, high: 100 },
  length: { unit: "m", factor: 1, offset: 0, digits: 2, low: 0, high: 1e4 },
  small: { unit: "mm", factor: 1e-3, offset: 0, digits: 0, low: 0, high: 10 },
  mass: { unit: "kg", factor: 1, offset: 0, digits: 2, low: 0, high: 1e4 },
  energy: { unit: "kJ", factor: 1e3, offset: 0, digits: 1, low: 0, high: 1e9 },
  force: { unit: "kN", factor: 1e3, offset: 0, digits: 1, low: 0, high: 1e9 },
  angle: { unit: "°", factor: Math.PI / 180, offset: 0, digits: 0, low: 0, high: 7 },
};
const US_OF = {
  pressure: { ...METRIC_OF.pressure, unit: "psi", factor: PSI, digits: 1 },
  test: { ...METRIC_OF.test, unit: "psi", factor: PSI, digits: 2 },
  temperature: { ...METRIC_OF.temperature, unit: "°F", factor: 5 / 9, offset: ZERO - 160 / 9, digits: 0 },
  volume: { ...METRIC_OF.volume, unit: "gal", factor: 0.003785411784 },
  length: { ...METRIC_OF.length, unit: "ft", factor: 0.3048, digits: 1 },
  small: { ...METRIC_OF.small, unit: "in", factor: 0.0254, digits: 2 },
  mass: { ...METRIC_OF.mass, unit: "lb", factor: 0.45359237 },
  force: { ...METRIC_OF.force, unit: "lbf", factor: 4.4482216152605, digits: 0 },
  energy: { ...METRIC_OF.energy, unit: "ft·lbf", factor: 1.3558179483314, digits: 0 },
};

/** Take the units that the reader chose, who may have done so since the page was stored here. */
export function chooseUnits(system) {
  us = system === "us";
}

/** The units that are shown: `metric` or `us`. */
export function units() {
  return us ? "us" : "metric";
}

/** How a quantity is shown and typed. */
export function of(quantity) {
  return (us && US_OF[quantity]) || METRIC_OF[quantity];
}

/** A number with its unit. */
export function show(value, quantity, finely) {
  const { unit, factor, offset, digits } = of(quantity);
  const text = ((value - offset) / factor).toFixed(finely ?? digits).replace("-", "−");
  return unit === "°" ? `${text}°` : `${text}\u00a0${unit}`;
}

/**
 * A typed number in SI units.
 * @returns {{value: number} | {problem: "missing" | "wrong" | "range", unit: string,
 *   low: string, high: string}}
 */
export function typed(text, quantity) {
  const { unit, factor, offset, low, high } = of(quantity);
  const ends = [low, high].map((end) => String(Number(((end - offset) / factor).toPrecision(6))));
  const told = { unit, low: ends[0], high: ends[1] };
  const plain = text.trim().replace(",", ".").replace("−", "-");
  if (plain === "") return { problem: "missing", ...told };
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return { problem: "wrong", ...told };
  const value = Number(plain) * factor + offset;
  if (!(value >= low && value <= high)) return { problem: "range", ...told };
  return { value: Number(value.toPrecision(12)) };
}

/** Hours and minutes of a time on this device [ms]. */
export function clockTime(ms, { up = false } = {}) {
  const at = new Date(up ? Math.ceil(ms / 60000) * 60000 : ms);
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
}

/** A deadline by the clock on the wall, with its zone in the hour that a night of the year has twice. */
export function deadlineTime(ms, { up = false } = {}) {
  const shown = clockTime(ms, { up });
  const hour = 3600 * 1000;
  const twice = [ms - hour, ms + hour].some((other) => clockTime(other, { up }) === shown);
  if (!twice) return shown;
  const ahead = -new Date(ms).getTimezoneOffset() / 60;
  return `${shown} (UTC${ahead < 0 ? "−" : "+"}${Math.abs(ahead)})`;
}

/** Hours and minutes of a local time of the plan, e.g. `2027-05-03T20:30:00`. */
export function planTime(text) {
  return text.slice(11, 16);
}

/**
 * A length of time: minutes and seconds up to an hour, then hours and minutes, then whole hours,
 * then days. `up` rounds a wait up, so that it is never told too short; otherwise what is left is
 * cut off.
 * @returns {{text: string, unit: string}} `unit` is empty for minutes and seconds
 */
export function duration(ms, { up = false } = {}) {
  const seconds = Math.max(0, up ? Math.ceil(ms / 1000) : Math.floor(ms / 1000));
  const two = (number) => String(number).padStart(2, "0");
  if (seconds < 3600) return { text: `${Math.floor(seconds / 60)}:${two(seconds % 60)}`, unit: "" };
  const whole = up ? Math.ceil : Math.floor;
  const minutes = whole(seconds / 60);
  if (minutes < LONG) return { text: `${Math.floor(minutes / 60)}:${two(minutes % 60)}`, unit: t("clock.time.hours") };
  if (minutes < LONGEST) return { text: String(whole(minutes / 60)), unit: t("clock.time.hours") };
  return { text: String(whole(minutes / 1440)), unit: t("clock.time.days") };
}

/** A length of time in words, as `duration` tells it. */
export function lasting(ms, how) {
  const { text, unit } = duration(ms, how);
  return unit ? `${text} ${unit}` : text;
}

const NAMED = { bar: "pressure", kg: "mass", m: "length", kJ: "energy", kN: "force" };

/** Decimals that tell a quantity about as finely as it was told in metric units. */
function finely(number, quantity) {
  const last = 10 ** -(number.split(".")[1] ?? "").length;
  const step = (last * METRIC_OF[quantity].factor) / of(quantity).factor;
  return Math.max(0, Math.round(-Math.log10(step)));
}

/** Quantities within a sentence in the units of the reader, who has them in metric ones. */
export function inUnits(sentence) {
  if (!us) return sentence;
  return sentence.replace(/(?:(\d+(?:\.\d+)?) to )?(\d+(?:\.\d+)?) (bar|kg|kJ|kN|m)\b/g, (_, low, high, unit) => {
    const quantity = NAMED[unit];
    const [from, to] = [low, high].map((number) => number && show(Number(number) * METRIC_OF[quantity].factor, quantity, finely(number, quantity)));
    return low ? `${from.replace(/\u00a0.*/, "")} to ${to}` : to;
  });
}

/** A clock position as it is said: whole hours, or with a half. */
export function position(hours) {
  const half = roundEven(hours * 2) / 2;
  const whole = half === 0 ? 12 : half;
  return Number.isInteger(whole) ? String(whole) : `${Math.floor(whole) || 12}½`;
}
