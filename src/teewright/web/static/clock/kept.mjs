// What a tablet keeps of a plan when the office makes another: a crew with a batch works on.

import { NAMES, steps, value } from "./state.mjs";

/** Number of no shift: what is not in the plan any more is not offered as "not planned" either. */
const NO_SHIFT = 0;

/**
 * The plan as it is told now, with what of the earlier one is still needed: all of it until the
 * job is designed again (`over`), and every collar that has begun (`gone`).
 * @param {object} plan as the server tells it
 * @param {object | null} before as it stands on this tablet
 * @param {Set<string>} begun connections with an entry in the log
 */
export function carriedOver(plan, before, begun) {
  if (!before || before.project !== plan.project || !before.collars.length) return plan;
  if (!plan.collars.length) return { ...plan, collars: before.collars, shifts: before.shifts, over: true };
  const there = new Set(plan.collars.map(({ connection }) => connection));
  const left = before.collars.filter(({ connection }) => begun.has(connection) && !there.has(connection));
  const gone = left.map((collar) => ({ ...collar, gone: true, shift: NO_SHIFT, planned: null }));
  return { ...plan, collars: [...plan.collars, ...gone] };
}

/**
 * A collar that no plan on this tablet knows, by what was told when it was mixed, or undefined.
 * @param {string} connection
 * @param {object[]} own events of the installation
 */
export function byItsMixing(connection, own) {
  const mixed = steps(own).find(({ kind }) => kind === "mixed");
  const told = mixed ? NAMES.map((name) => [name, Number(value(mixed, name))]) : [];
  if (!told.length || !told.every(([, number]) => number > 0)) return undefined;
  const limits = Object.fromEntries(told);
  return {
    connection, limits, gone: true, shift: NO_SHIFT, planned: null,
    run: connection.slice(0, Math.max(connection.lastIndexOf("/"), 0)), manhole: "", distance: null,
    against_flow: false, position: null, pattern: "", packer: "", governs: {}, tolerance: null,
    pressure_set: (limits.pressure_low + limits.pressure_high) / 2,
    mix_temperature: null, cure_temperature: null, diameter: null,
    batch: { mass: null, mass_a: null, mass_b: null, packs: null }, cautions: [],
  };
}
