// The time bar of a batch, to scale: used, left, hold; now in front of it all.

import { s } from "./dom.mjs";
import { t } from "./texts.mjs";
import { clockTime, deadlineTime } from "./units.mjs";

const STEPS = [1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 720, 1440].map((minutes) => minutes * 60000);

/**
 * @param {{now: number, mixed: number, inflateBy: number, releaseAt: number,
 *   pressure: number | null, released: number | null, late: boolean}} times [ms]
 * @param {number} width [px]
 * @param {boolean} short whether the words must be short
 */
export function timeBar(times, width, short) {
  const { now, mixed, inflateBy, releaseAt, pressure } = times;
  const end = Math.max(releaseAt, now, inflateBy);
  const span = (end - mixed) * 1.045;
  const x = (ms) => Math.max(0, Math.min(width, ((ms - mixed) / span) * width));
  const drawn = s("svg", {
    viewBox: `0 0 ${width} 112`, width, height: 112, role: "img",
    "aria-label": t("clock.bar.label", { words: words(times).join(", ") }),
  });
  const add = (tag, attributes, ...children) => drawn.append(s(tag, attributes, ...children));
  const box = (from, to, kind) => add("rect", { class: kind, x: x(from), y: 52, width: Math.max(0, x(to) - x(from)), height: 30 });
  const used = pressure ?? Math.min(now, times.late ? now : inflateBy);
  if (pressure === null && !times.late) {
    hatch(drawn, x(now), x(inflateBy));
    box(mixed, inflateBy, "hairb");
    box(inflateBy, releaseAt, "tick dash");
  }
  box(mixed, times.late ? inflateBy : Math.min(used, now), "solid");
  if (times.late && pressure === null) box(inflateBy, now, "bold");
  if (pressure !== null) {
    box(pressure, releaseAt, "mid");
    box(pressure, times.released ?? now, "solid");
    add("rect", { class: "pap", x: x(pressure) - 2, y: 50, width: 4, height: 34 });
  }
  axis(add, mixed, end, x, width, short);
  marks(add, times, x, width, short);
  return drawn;
}

function hatch(drawn, from, to) {
  for (let at = from - 30; at < to; at += 8) {
    const [x1, x2] = [Math.max(at, from), Math.min(at + 30, to)];
    if (x2 > x1) drawn.append(s("path", { class: "tick", d: `M${x1} ${82 - (x1 - at)}L${x2} ${82 - (x2 - at)}` }));
  }
}

function axis(add, mixed, end, x, width, short) {
  const step = STEPS.find((ms) => (end - mixed) / ms <= (short ? 4 : 7)) ?? STEPS.at(-1);
  const zone = new Date(mixed).getTimezoneOffset() * 60000;
  for (let at = Math.ceil((mixed - zone) / step) * step + zone; at <= end; at += step) {
    add("path", { class: "tick", d: `M${x(at)} 82V88` });
    const where = x(at) < 20 ? "" : x(at) > width - 20 ? " e" : " m";
    add("text", { class: `n s${where}`, x: x(at), y: 106 }, clockTime(at));
  }
}

function marks(add, times, x, width, short) {
  const { now, inflateBy, releaseAt, pressure, late } = times;
  const size = short ? 6.6 : 7.8;
  const label = (text, at, kind, side) => {
    const long = text.length * size;
    const room = side === "e" ? Math.max(at, long) : Math.min(at, width - long);
    add("text", { class: `${short ? "n " : ""}${kind}${side === "e" ? " e" : ""}`, x: Math.max(0, room), y: 34 }, text);
    return side === "e" ? [room - long, room] : [room, room + long];
  };
  add("path", { class: "bold", d: `M${x(inflateBy)} ${pressure === null ? 44 : 82}V92` });
  let taken = [0, 0];
  if (!late) {
    add("path", { class: "bold", d: `M${x(releaseAt)} 44V92` });
    const time = deadlineTime(releaseAt, { up: true });
    taken = label(t(short ? "clock.bar.release_short" : "clock.bar.release", { time }), x(releaseAt), pressure === null ? "" : "b", "e");
  }
  const [key, at] = pressure === null ? ["inflate", inflateBy] : ["pressure", pressure];
  const text = t(`clock.bar.${key}`, { time: clockTime(at) });
  const free = late || x(at) + 8 + text.length * size < taken[0] - 8;
  if (free && !late) label(text, x(at) + (pressure === null ? 6 : 0), pressure === null ? "b" : "");
  const here = t(hereKey(times, short), { time: clockTime(now), limit: deadlineTime(inflateBy) });
  add("path", { class: "nowc", d: `M${x(now)} 48V86` });
  add("path", { class: "now", d: `M${x(now)} 48V86` });
  add("path", { class: "solid", d: `M${x(now)} 51l-8 -11h16z` });
  const half = (here.length * size) / 2;
  const centre = Math.max(half, Math.min(width - half, x(now)));
  add("text", { class: `${short ? "n " : ""}b m`, x: centre, y: 14 }, here);
}

function hereKey({ late, released }, short) {
  if (released !== null) return "clock.bar.released";
  if (late) return short ? "clock.bar.late_short" : "clock.bar.late";
  return short ? "clock.bar.now_short" : "clock.bar.now";
}

function words({ now, inflateBy, releaseAt, pressure, released, late }) {
  const found = [t(released === null ? "clock.bar.now" : "clock.bar.released", { time: clockTime(now) })];
  if (pressure === null) found.push(t("clock.bar.inflate", { time: deadlineTime(inflateBy) }));
  else found.push(t("clock.bar.pressure", { time: clockTime(pressure) }));
  if (!late) found.push(t("clock.bar.release", { time: deadlineTime(releaseAt, { up: true }) }));
  return found;
}
