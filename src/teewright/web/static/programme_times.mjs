// Times of a shift: seconds from its start, as the server and a reader say them.

import { data } from "./programme_page.mjs";

/** Seconds of the day at which shifts start. */
function start() {
  const [h, m, s] = data.start.split(":").map(Number);
  return h * 3600 + m * 60 + s;
}

/** Local time of a moment of a shift, as the server reads it. */
export function moment(day, seconds) {
  const [year, month, date] = day.split("-").map(Number);
  const at = new Date(Date.UTC(year, month - 1, date, 0, 0, start() + seconds));
  return at.toISOString().slice(0, 19);
}

/** The same as a reader says it. */
export const clock = (seconds) => moment("2000-01-01", seconds).slice(11, 16);

export const dayName = (day) => data.days.find((d) => d.day === day)?.said ?? day;

/** To the nearest whole step of the clock. */
export function stepped(seconds) {
  return Math.round((start() + seconds) / data.step) * data.step - start();
}

/** A place of a collar as a reader says it. */
export const where = (at) => ({
  what: at.id, at: clock(at.mix), crew: at.crew, day: dayName(at.day),
});
