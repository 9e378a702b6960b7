// Where an installation stands: the same pure functions of its events and limits as the server
// has, so that the clock runs without it. Nothing here reads a clock.

import { between, later, parts, read } from "./moments.mjs";
import { onOneClock } from "./one_clock.mjs";
import { bar, number, quoted, span } from "./said.mjs";

/**
 * @typedef {{id: string, installation: string, kind: string, at: string,
 *   recorded: string | null, device: string, sequence: number, person: string,
 *   data: [string, string][]}} LogEvent `recorded` is null while the server has not seen it
 * @typedef {{latest_inflation: number, release: number, pressure_low: number,
 *   pressure_high: number}} Limits [s], [s], [Pa], [Pa]
 */

export const KINDS = [
  "mixed", "wet-out", "lowered", "in-place", "at-pressure", "reading", "released", "out",
  "test-reading", "inspected", "aborted", "corrected", "note",
];
const FOLLOWS = {
  "": ["mixed"],
  mixed: ["wet-out", "aborted"],
  "wet-out": ["lowered", "aborted"],
  lowered: ["in-place", "aborted"],
  "in-place": ["at-pressure", "aborted"],
  "at-pressure": ["reading", "released", "aborted"],
  reading: ["reading", "released", "aborted"],
  released: ["out", "aborted"],
  out: ["test-reading", "inspected", "aborted"],
  "test-reading": ["test-reading", "inspected"],
  inspected: ["test-reading", "inspected"],
  aborted: [],
};
const ASIDE = new Set(["note", "corrected"]);
const AGAIN = new Set(["reading", "test-reading", "inspected"]);
const RANK = Object.fromEntries(KINDS.map((kind, rank) => [kind, rank]));
RANK.reading = RANK["at-pressure"];
RANK.inspected = RANK["test-reading"];
const OUT = new Set(["out", "test-reading", "inspected"]);
const OWN = new Set(["event", "at", "void", "reason", "server_ahead", "signed_in"]);
/** Limits as a `mixed` event tells them. */
export const NAMES = ["latest_inflation", "release", "pressure_low", "pressure_high"];
const CLOCK_SLACK = 60;

/** Events of one installation. */
export function ofInstallation(events, installation) {
  return events.filter((event) => event.installation === installation);
}

/** Installations of a log, in the order in which they first appear. */
export function installations(events) {
  return [...new Set(events.map((event) => event.installation))];
}

/** A value of an event's data, or undefined. */
export function value(event, name) {
  let found;
  for (const [key, text] of event.data) if (key === name) found = text;
  return found;
}

/** The leak test to which a reading belongs. */
export function testOf(event) {
  return value(event, "test") ?? "1";
}

/** Events as they count: corrected, without those taken back and without corrections. */
export function effective(events) {
  const current = new Map();
  for (const event of events) if (event.kind !== "corrected") current.set(event.id, event);
  for (const event of events) {
    if (event.kind !== "corrected") continue;
    const found = current.get(value(event, "event") ?? "");
    if (found && found.installation === event.installation) {
      current.set(found.id, corrected(found, event.data));
    }
  }
  return [...current.values()].filter((event) => event !== null);
}

function corrected(event, pairs) {
  const data = new Map(pairs);
  if (data.get("void") === "yes") return null;
  const merged = new Map(event.data);
  for (const [name, text] of data) if (!OWN.has(name)) merged.set(name, text);
  const at = data.has("at") && read(data.get("at")) ? data.get("at") : event.at;
  return { ...event, at, data: [...merged] };
}

/** Effective events without notes, each device's own order kept, devices merged by time. */
export function happened(events) {
  const queues = new Map();
  onOneClock(effective(events)).forEach((event, place) => {
    if (ASIDE.has(event.kind)) return;
    if (!queues.has(event.device)) queues.set(event.device, []);
    queues.get(event.device).push({ event, place, us: event.judged?.us ?? 0 });
  });
  let waiting = [...queues.values()];
  const merged = [];
  while (waiting.length) {
    const first = waiting.reduce((best, queue) => (isBefore(queue[0], best[0]) ? queue : best));
    merged.push(first.shift().event);
    waiting = waiting.filter((queue) => queue.length);
  }
  return merged;
}

function isBefore(one, other) {
  return one.us < other.us || (one.us === other.us && one.place < other.place);
}

function parted(events) {
  const counted = [];
  const again = [];
  const seen = new Set();
  for (const event of happened(events)) {
    (seen.has(event.kind) && !AGAIN.has(event.kind) ? again : counted).push(event);
    seen.add(event.kind);
  }
  return { counted, again };
}

/** Steps that count, in the order of work: the first of each kind, and all readings. */
export function steps(events) {
  return parted(events).counted;
}

/** Steps that were logged again; they count for nothing. */
export function repeats(events) {
  return parted(events).again;
}

/** The step that is furthest along, or null before the first. */
export function reached(events) {
  let furthest = null;
  for (const event of steps(events)) {
    const rank = furthest === null ? -1 : RANK[furthest.kind];
    const idle = event.kind === "reading" && rank < RANK["at-pressure"];
    if (RANK[event.kind] >= rank && !idle) furthest = event;
  }
  return furthest;
}

/** Kinds that may be logged next at an installation, the next step first. */
export function nextActions(installation, events) {
  const own = ofInstallation(events, installation);
  const last = reached(own);
  return [...FOLLOWS[last ? last.kind : ""], ...(own.length ? ["corrected"] : []), "note"];
}

/** Where the events of one installation break the order of work, one sentence, or "". */
export function disorder(events) {
  let last = null;
  for (const event of steps(events)) {
    if (!FOLLOWS[last ? last.kind : ""].includes(event.kind)) {
      return `${event.kind} was logged ${last ? `after ${last.kind}` : "as the first step"}.`;
    }
    if (last && event.judged.us < last.judged.us) {
      return `${event.kind} is earlier than ${last.kind} before it.`;
    }
    last = event;
  }
  return "";
}

/** Deadlines of one installation's events, or null before mixing. */
export function deadlines(events, limits) {
  const first = steps(events).find((event) => event.kind === "mixed");
  if (!first) return null;
  const mixed = first.judged;
  return {
    event: first,
    mixed,
    inflateBy: later(mixed, limits.latest_inflation),
    releaseFrom: later(mixed, limits.release),
  };
}

/** Where an installation stands. */
export function state(installation, events, limits) {
  const own = ofInstallation(events, installation);
  const held = toldLimits(own, limits);
  const due = deadlines(own, held);
  const kinds = new Set(steps(own).map((event) => event.kind));
  const last = reached(own);
  const step = last === null ? null : last.kind === "reading" ? "at-pressure" : last.kind;
  const aborted = kinds.has("aborted");
  return {
    installation,
    step,
    nextAction: nextSentence(step, kinds, due),
    inflateBy: due ? due.inflateBy : null,
    releaseFrom: due ? due.releaseFrom : null,
    breaches: breaches(own, held),
    finished: aborted || [...OUT].every((kind) => kinds.has(kind)),
    aborted,
    repeats: repeats(own).map(
      (event) => `${event.kind} was logged again at ${parts(event.judged).second} by ${event.device}.`,
    ),
    differs: differs(own, held, limits),
  };
}

function nextSentence(last, kinds, due) {
  if (last === "aborted") return "Nothing: given up.";
  if (last === null || due === null) return "Mix the batch.";
  if (OUT.has(last)) return afterOut(kinds);
  const by = minute(due.inflateBy, due.mixed);
  return {
    mixed: `Soak the collar and dress the packer; full pressure by ${by}.`,
    "wet-out": `Lower the packer; full pressure by ${by}.`,
    lowered: `Bring the packer to the connection; full pressure by ${by}.`,
    "in-place": `Inflate to full pressure by ${by}.`,
    "at-pressure": `Hold the pressure; release from ${releaseMinute(due)}.`,
    released: "Pull the packer out.",
  }[last];
}

function afterOut(kinds) {
  if (!kinds.has("test-reading")) {
    return kinds.has("inspected") ? "Test for leaks." : "Test for leaks, then inspect.";
  }
  return kinds.has("inspected") ? "Nothing: finished." : "Inspect the collar.";
}

function minute(moment, mixed) {
  const here = parts(moment, mixed);
  return here.day === parts(mixed).day ? here.minute : `${here.minute} on ${here.day}`;
}

function releaseMinute(due) {
  const whole = parts(due.releaseFrom, due.mixed).whole;
  return minute(whole ? due.releaseFrom : later(due.releaseFrom, 60), due.mixed);
}

/** Limits that were told at the mixing; those of the present design where none were. */
export function toldLimits(own, present) {
  const mixed = steps(own).find((event) => event.kind === "mixed");
  const found = { ...present };
  for (const name of mixed ? NAMES : []) found[name] = number(value(mixed, name) ?? "") || present[name];
  return found.pressure_low <= found.pressure_high ? found : present;
}

function differs(own, held, present) {
  const said = [
    ["full pressure within", span(held.latest_inflation), span(present.latest_inflation)],
    ["release after", span(held.release), span(present.release)],
    ["a pressure of", window(held), window(present)],
  ].filter(([, then, now]) => then !== now).map(([what, then, now]) => `Mixed for ${what} ${then}; the present design says ${now}.`);
  if (!said.length) return [];
  const broken = breaches(own, held);
  const more = breaches(own, present).filter((found) => !broken.includes(found));
  return [...said, ...more.map((found) => `By the present design: ${found}`)];
}

function window({ pressure_low, pressure_high }) {
  return `${bar(pressure_low)} to ${bar(pressure_high)} bar`;
}

function breaches(own, limits) {
  const due = deadlines(own, limits);
  const counted = new Set(steps(own).map((event) => event.id));
  const broken = disorder(own);
  const found = broken ? [broken] : [];
  for (const event of happened(own)) {
    if (due && counted.has(event.id)) found.push(...lateOrEarly(event, due));
    if (event.kind === "at-pressure" || event.kind === "reading") {
      found.push(...outsideWindow(event, limits));
    }
  }
  return [...found, ...fastClocks(own)];
}

function lateOrEarly(event, due) {
  const at = event.judged;
  const when = parts(at, due.mixed).second;
  if (event.kind === "at-pressure" && at.us > due.inflateBy.us) {
    const late = span(between(due.inflateBy, at));
    return [`Full pressure at ${when}, ${late} after the latest, ${parts(due.inflateBy, due.mixed).second}.`];
  }
  if (event.kind === "released" && at.us < due.releaseFrom.us) {
    const early = span(between(at, due.releaseFrom));
    return [`Released at ${when}, ${early} before the earliest, ${parts(due.releaseFrom, due.mixed).second}.`];
  }
  return [];
}

function outsideWindow(event, limits) {
  const text = value(event, "pressure");
  if (text === undefined) return event.kind === "reading" ? ["A reading has no pressure."] : [];
  const pressure = number(text);
  if (pressure === null) {
    return [`A reading has ${quoted([...text].slice(0, 40).join(""))} where a pressure in Pa belongs.`];
  }
  if (limits.pressure_low <= pressure && pressure <= limits.pressure_high) return [];
  const side = pressure < limits.pressure_low ? "below" : "above";
  return [`Pressure ${bar(pressure)} bar at ${parts(takenAt(event)).second}, ${side} the window ${window(limits)}.`];
}

/** When a reading was taken: as its logger tells, else when it was logged. */
function takenAt(event) {
  return read(value(event, "taken") ?? "") ?? event.judged;
}

function fastClocks(own) {
  const lead = new Map();
  for (const event of own) {
    if (event.recorded === null || event.recorded === undefined) continue;
    const ahead = between(read(event.recorded), read(event.at));
    if (ahead > Math.max(CLOCK_SLACK, lead.get(event.device) ?? 0)) lead.set(event.device, ahead);
  }
  return [...lead].map(([device, ahead]) => `The clock of ${device} ran ${span(ahead)} ahead.`);
}
