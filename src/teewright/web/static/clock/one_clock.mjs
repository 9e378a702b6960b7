// Times of several devices, told on one clock, as the server has it.

import { later, read } from "./moments.mjs";
import { signed } from "./said.mjs";

/** Largest difference of clocks that is believed [s]. */
const FARTHEST = 1e8;

/**
 * Events with the moment by which they are judged as `judged`: on the server's clock where they
 * are of several devices that all know it, else as written.
 * @param {object[]} events of one installation
 */
export function onOneClock(events) {
  const own = events.map(aheadOf);
  const first = new Map();
  events.forEach(({ device }, n) => {
    if (own[n] !== null && !first.has(device)) first.set(device, own[n]);
  });
  const devices = new Set(events.map(({ device }) => device));
  const known = devices.size > 1 && [...devices].every((device) => first.has(device));
  return events.map((event, n) => {
    const written = read(event.at);
    return { ...event, judged: known ? later(written, own[n] ?? first.get(event.device)) : written };
  });
}

function aheadOf({ data }) {
  const told = signed(data.findLast(([name]) => name === "server_ahead")?.[1] ?? "");
  return told !== null && Math.abs(told) <= FARTHEST ? told : null;
}
