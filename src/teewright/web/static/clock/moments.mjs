// Points in time as the log writes them: ISO 8601 with offset, to the microsecond.

/**
 * @typedef {{us: number, offset: number}} Moment microseconds since 1970 and offset from UTC [s]
 */

const DAY = /^(\d{4})-?(\d{2})-?(\d{2})$/;
const FORM =
  /^(\d{4}-\d{2}-\d{2}|\d{8})[^](\d{2})(?::?(\d{2}))?(?::?(\d{2}))?(?:[.,](\d+))?(Z|[+-]\d{2}(?::?\d{2})?(?::?\d{2})?)$/;

/**
 * A moment from its text, or null where it cannot be read or names no offset.
 * Week dates are not read.
 * @param {string} text
 * @returns {Moment | null}
 */
export function read(text) {
  const found = FORM.exec(text);
  if (!found) return null;
  const [, date, hour, minute = "00", second = "00", part = "", zone] = found;
  if (part && found[4] === undefined) return null;
  const [, year, month, day] = DAY.exec(date) ?? [];
  const [y, mo, d, h, mi, s] = [year, month, day, hour, minute, second].map(Number);
  if (h > 23 || mi > 59 || s > 59) return null;
  const plain = Date.UTC(y, mo - 1, d, h, mi, s);
  const back = new Date(plain);
  if (y < 1 || back.getUTCMonth() !== mo - 1 || back.getUTCDate() !== d) return null;
  const offset = readOffset(zone);
  if (offset === null) return null;
  const micro = Number(part.slice(0, 6).padEnd(6, "0"));
  return { us: plain * 1000 + micro - offset * 1e6, offset };
}

function readOffset(zone) {
  if (zone === "Z") return 0;
  const digits = zone.slice(1).replaceAll(":", "").padEnd(6, "0");
  const [h, m, s] = [0, 2, 4].map((at) => Number(digits.slice(at, at + 2)));
  if (h > 23 || m > 59 || s > 59) return null;
  return (zone[0] === "-" ? -1 : 1) * (h * 3600 + m * 60 + s);
}

/**
 * The same moment, later by so many seconds, to the microsecond.
 * @param {Moment} moment
 * @param {number} seconds
 * @returns {Moment}
 */
export function later(moment, seconds) {
  return { us: moment.us + roundEven(seconds * 1e6), offset: moment.offset };
}

/** Seconds from one moment to another. */
export function between(from, to) {
  return (to.us - from.us) / 1e6;
}

/**
 * Date and hour of a moment in the zone of another.
 * @param {Moment} moment
 * @param {Moment} [zone]
 */
export function parts(moment, zone = moment) {
  const local = new Date(Math.floor(moment.us / 1000) + zone.offset * 1000);
  const two = (number) => String(number).padStart(2, "0");
  const year = String(local.getUTCFullYear()).padStart(4, "0");
  const day = `${year}-${two(local.getUTCMonth() + 1)}-${two(local.getUTCDate())}`;
  const minute = `${two(local.getUTCHours())}:${two(local.getUTCMinutes())}`;
  const started = moment.us + zone.offset * 1e6 - Math.floor(moment.us / 6e7 + zone.offset / 60) * 6e7;
  return { day, minute, second: `${minute}:${two(local.getUTCSeconds())}`, whole: started === 0 };
}

/**
 * Text of a moment given in milliseconds since 1970, in the zone of this device.
 * @param {number} ms
 */
export function written(ms) {
  const whole = Math.round(ms);
  const minutes = -new Date(whole).getTimezoneOffset();
  const local = new Date(whole + minutes * 60000).toISOString().replace("Z", "");
  const two = (number) => String(Math.floor(number)).padStart(2, "0");
  const sign = minutes < 0 ? "-" : "+";
  return `${local}${sign}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
}

/** Milliseconds since 1970. */
export function ms(moment) {
  return moment.us / 1000;
}

/** Nearest whole number, halves to the even one. */
export function roundEven(value) {
  const low = Math.floor(value);
  const rest = value - low;
  if (rest < 0.5) return low;
  if (rest > 0.5) return low + 1;
  return low % 2 === 0 ? low : low + 1;
}
