// All that is known of an installation now, put together for whatever shows it.

import { ownOf } from "./acts.mjs";
import { forReader } from "./allowed.mjs";
import { countdown, hereOf } from "./countdown.mjs";
import { byItsMixing } from "./kept.mjs";
import { batchOf } from "./sheet.mjs";
import { installations, state } from "./state.mjs";
import { t } from "./texts.mjs";
import { isLive, todo } from "./todo.mjs";
import { clockTime, inUnits, lasting } from "./units.mjs";

const NO_LIMITS = { latest_inflation: Infinity, release: Infinity, pressure_low: 0, pressure_high: Infinity };
const NOTHING = { step: null, breaches: [], repeats: [], differs: [] };
const READING_EVERY = 900;

/** Connection and attempt of an installation. */
export function parted(installation) {
  const at = installation.lastIndexOf("#");
  return at < 0 ? [installation, 1] : [installation.slice(0, at), Number(installation.slice(at + 1)) || 1];
}

/**
 * One installation.
 * @param {import("./main.mjs").App} app
 * @param {string} installation
 */
export function viewOf(app, installation) {
  const { book, clock, found } = app;
  const [connection, attempt] = parted(installation);
  const own = ownOf(app.events, installation);
  const collar = book.collars.get(connection) ?? (book.plan ? byItsMixing(connection, own) : undefined);
  const limits = collar?.limits ?? NO_LIMITS;
  if (!found.has(installation)) found.set(installation, collar ? state(installation, own, limits) : NOTHING);
  const base = {
    installation, connection, attempt, collar, own, events: app.events, state: found.get(installation),
    at: (event) => hereOf(clock, event),
    times: collar ? countdown(clock, own, installation, limits, book.stamps) : null,
    refused: book.refused().filter((entry) => entry.draft.installation === installation),
    nextAttempt: attempt + 1,
  };
  if (!collar) return { ...base, todo: { key: "unknown", title: "", more: [] }, warns: [], top: {} };
  const next = todo({ ...base, log: own, now: clock.now().most, readingEvery: book.plan.reading_every ?? READING_EVERY });
  return { ...base, todo: forReader(book, next), warns: warnsOf(app, base), top: topOf(book.plan, collar, own) };
}

/** All installations: of each connection the attempt that counts, and what has begun. */
export function allViews(app) {
  const begun = installations(app.events).filter((name) => name.includes("#"));
  const last = new Map();
  for (const name of begun) {
    const [connection, attempt] = parted(name);
    last.set(connection, Math.max(attempt, last.get(connection) ?? 0));
  }
  const planned = [...app.book.collars.keys()].map((name) => `${name}#${last.get(name) ?? 1}`);
  return [...new Set([...planned, ...begun])].map((name) => viewOf(app, name));
}

function topOf({ shifts }, { run, shift }, own) {
  const crew = shifts.find(({ number }) => number === shift)?.crew;
  return { batch: batchOf(own), place: crew ? `${run}, ${crew}` : run };
}

function warnsOf(app, { state: stand, refused, times, collar }) {
  const runs = times && isLive(stand);
  const found = runs && app.clock.inDoubt() ? [doubt(app)] : [];
  for (const words of app.notices) found.push({ words });
  if (!stand.finished && (collar.gone || app.book.plan.over)) found.push({ words: t(`clock.warn.${collar.gone ? "gone" : "over"}`) });
  if (runs && !navigator.wakeLock) found.push({ words: t("clock.warn.keep_on") });
  if (runs && isOther(times.limits, collar.limits)) found.push({ words: t("clock.warn.limits_changed") });
  // while it runs it is held to the stricter; afterwards the record tells how they differ
  const said = [...stand.breaches, ...stand.repeats, ...(isLive(stand) ? [] : stand.differs)];
  for (const one of said) found.push({ words: t("clock.warn.breach", { said: inUnits(one) }) });
  if (refused.length) {
    const words = t("clock.warn.refused", { n: refused.length, said: refused[0].said });
    found.push({ words, act: "refused", label: t("clock.act.refused") });
  }
  return found;
}

function isOther(held, present) {
  return Object.keys(held).some((name) => held[name] !== present[name]);
}

function doubt({ clock, doubtFrom }) {
  const { least, most, unknown } = clock.now();
  const act = { act: "confirm", label: t("clock.warn.confirm") };
  const from = clockTime(doubtFrom);
  if (unknown) return { words: t("clock.warn.doubt_unknown", { from }), ...act };
  return { words: t("clock.warn.doubt", { from, span: lasting(most - least) }), ...act };
}
