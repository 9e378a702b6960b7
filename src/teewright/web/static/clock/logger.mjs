// When the readings of a logger were taken, by a column of times in its file.

import { GaugeFault } from "./gauge.mjs";
import { ms, read, written } from "./moments.mjs";
import { t } from "./texts.mjs";
import { clockTime, lasting, show } from "./units.mjs";

const COLUMNS = new Set(["time", "date_time", "datetime", "timestamp"]);
const FULL = /^(\d{4})-(\d{2})-(\d{2})[T ](\d{1,2}):(\d{2})(?::(\d{2}))?(?:\.\d+)?$/;
const DOTTED = /^(\d{1,2})\.(\d{1,2})\.(\d{4})[. ]+(\d{1,2}):(\d{2})(?::(\d{2}))?(?:\.\d+)?$/;
const HOUR = /^(\d{1,2}):(\d{2})(?::(\d{2}))?(?:\.\d+)?$/;
const HALF_DAY = 12 * 3600 * 1000;
/** How far the clocks of logger and tablet may differ [ms]; common practice, no source. */
const SLACK = 5 * 60000;

/**
 * Readings with when they were taken as `taken`, and the seconds from the first as `elapsed`.
 * @param {[string, string][][]} rows
 * @param {number} now on the tablet's clock [ms]
 */
export function withTimes(rows, now) {
  let first = null;
  return rows.map((row, n) => {
    const told = row.find(([name]) => COLUMNS.has(name.toLowerCase()));
    if (!told) return row;
    const at = timeOf(told[1], now);
    if (at === null) throw new GaugeFault("clock.gauge.time", { line: n + 2, value: told[1] });
    first ??= at;
    const rest = row.filter((pair) => pair !== told);
    const own = rest.some(([name]) => name === "elapsed");
    return [...rest, ...(own ? [] : [["elapsed", String((at - first) / 1000)]]), ["taken", written(at)]];
  });
}

/** First and last time that readings tell and the longest pause between two [ms], or null. */
function spanOf(rows) {
  const times = rows.map((row) => row.find(([name]) => name === "taken")?.[1]).filter(Boolean).map((text) => ms(read(text)));
  if (!times.length) return null;
  const gaps = times.slice(1).map((time, n) => time - times[n]);
  return { from: Math.min(...times), to: Math.max(...times), gap: Math.max(0, ...gaps) };
}

/** Whether readings tell times, and these end before full pressure or lie ahead of now. */
export function notOfTheHold(rows, from, now) {
  const span = spanOf(rows);
  return span !== null && (span.to < from - SLACK || span.to > now + SLACK);
}

/** First and last of these times, for a text. */
export function timesOf(rows) {
  const { from, to } = spanOf(rows);
  return { from: clockTime(from), to: clockTime(to) };
}

/** What a file holds, in words. */
export function readWords(rows, kind) {
  const texts = rows.map((row) => Number(row.find(([name]) => name === "pressure")?.[1])).filter(Number.isFinite);
  const quantity = kind === "reading" ? "pressure" : "test";
  const [first, last] = [texts[0], texts.at(-1)].map((p) => (p === undefined ? "–" : show(p, quantity)));
  const words = t("clock.ask.logger_read", { n: rows.length, first, last });
  const span = spanOf(rows);
  if (!span) return kind === "reading" ? `${words} ${t("clock.ask.logger_no_times")}` : words;
  return `${words} ${t("clock.ask.logger_times", { ...timesOf(rows), gap: lasting(span.gap, { up: true }) })}`;
}

/** A time as loggers write it, in the zone that it names or else in that of the tablet. */
function timeOf(text, now) {
  const exact = read(text.replace(" ", "T")) ?? read(text);
  if (exact) return ms(exact);
  const full = FULL.exec(text);
  if (full) return local(full.slice(1, 4), full.slice(4));
  const dotted = DOTTED.exec(text);
  if (dotted) return local([dotted[3], dotted[2], dotted[1]], dotted.slice(4));
  const hour = HOUR.exec(text);
  if (!hour) return null;
  const day = new Date(now);
  const at = local([day.getFullYear(), day.getMonth() + 1, day.getDate()], hour.slice(1));
  if (at === null) return null;
  return at - now > HALF_DAY ? at - 2 * HALF_DAY : now - at > HALF_DAY ? at + 2 * HALF_DAY : at;
}

function local(date, time) {
  const [year, month, day, hour, minute, second = 0] = [...date, ...time].map((part) => Number(part ?? 0));
  const made = new Date(year, month - 1, day, hour, minute, second);
  const same = made.getMonth() === month - 1 && made.getDate() === day && hour < 24 && minute < 60 && second < 60;
  return same ? made.getTime() : null;
}
