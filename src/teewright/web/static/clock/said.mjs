// Numbers and texts in the sentences of a state, word by word as the server writes them.

import { roundEven } from "./moments.mjs";

const BAR = 1e5;

/** Pascals in bar with two decimals, halves to the even one as the server writes them. */
export function bar(pressure) {
  const value = pressure / BAR;
  const text = value.toFixed(2);
  const scaled = value * 100;
  const tie = scaled - Math.floor(scaled) === 0.5 && Number.isInteger(value * 8);
  return tie ? (roundEven(scaled) / 100).toFixed(2) : text;
}

/** A length of time in words. */
export function span(seconds) {
  if (seconds < 60) return `${roundEven(seconds)} s`;
  const whole = roundEven(seconds);
  const rest = whole % 60;
  return rest ? `${Math.floor(whole / 60)} min ${rest} s` : `${Math.floor(whole / 60)} min`;
}

/** A finite number of 0 or more from its text, or null. */
export function number(text) {
  const found = signed(text);
  return found !== null && found >= 0 ? found : null;
}

/** A finite number, or null. */
export function signed(text) {
  const plain = text.trim();
  if (!/^[+-]?(\d+(_\d+)*\.?(\d+(_\d+)*)?|\.\d+(_\d+)*)(e[+-]?\d+(_\d+)*)?$/i.test(plain)) return null;
  const found = Number(plain.replaceAll("_", ""));
  return Number.isFinite(found) ? found : null;
}

/** A text in quotation marks, as the server quotes it. */
export function quoted(text) {
  const mark = text.includes("'") && !text.includes('"') ? '"' : "'";
  const known = { "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t", [mark]: `\\${mark}` };
  const body = [...text].map((sign) => known[sign] ?? escaped(sign)).join("");
  return `${mark}${body}${mark}`;
}

function escaped(sign) {
  if (sign === " " || !/[\p{C}\p{Z}]/u.test(sign)) return sign;
  const code = sign.codePointAt(0);
  if (code < 0x100) return `\\x${code.toString(16).padStart(2, "0")}`;
  if (code < 0x10000) return `\\u${code.toString(16).padStart(4, "0")}`;
  return `\\U${code.toString(16).padStart(8, "0")}`;
}
