// Time that a changed clock cannot shorten.
//
// A tablet has two clocks: one on the wall, which anyone may set, and one that only ever runs
// (performance.now), which stops with the page. While the page lives, the running clock counts.
// What passed while the page was dead, or the tablet asleep, only the clock on the wall knows, so
// from then on the time is two times: `least`, which is certain, and `most`, which the clock on
// the wall says. The time left to an inflation is taken from `most`, the wait for a release from
// `least`, until the server or another watch has told.
//
// All times are milliseconds since 1970 on the tablet's own scale: the clock on the wall as it
// stood when nothing was running yet, carried on by the running clock.

/** A difference of clocks that is no change of one [ms]. */
export const SLACK = 2000;
/** A difference to the server that is told [ms]. */
export const SERVER_SLACK = 5000;
/** A doubt that is told on the sheet [ms]; shorter ones are only counted in. */
export const DOUBT = 30000;
/** An answer that took longer tells no time [ms]. */
export const LONGEST_ANSWER = 10000;
const MINUTE = 60000;

/**
 * @typedef {{wall: () => number, mono: () => number}} Clocks both in ms
 * @typedef {{least: number, most: number, length: number, unknown: boolean}} Segment a stretch
 *   in which the running clock ran on: its start, and how long it ran
 * @typedef {{first: number, segments: Segment[], wall: number, shift: number,
 *   ahead: number | null, within?: number}} Ledger what is kept each second; `within`: how far
 *   `ahead` may be off [ms]
 * @typedef {{segment: number, offset: number}} Stamp when something happened on this tablet
 */

export class HonestClock {
  /**
   * @param {Clocks} clocks
   * @param {Ledger | null} [ledger] as it was kept last, or null on a tablet that is new
   * @param {string} [device] whose clock this is
   */
  constructor(clocks, ledger = null, device = "") {
    this.clocks = clocks;
    this.device = device;
    this.base = clocks.mono();
    const wall = clocks.wall();
    if (!ledger?.segments?.length) {
      Object.assign(this, { first: 0, segments: [fresh(wall)], shift: 0, ahead: null, within: 0 });
      return;
    }
    const { first, segments, shift, ahead, within = 0 } = ledger;
    Object.assign(this, { first, segments: [...segments], shift, ahead, within });
    const gap = wall - ledger.wall;
    const end = ended(segments.at(-1));
    this.segments.push({
      least: end.least,
      most: end.most + Math.max(gap, 0),
      length: 0,
      unknown: end.unknown || gap < 0,
    });
    if (gap < 0) this.shift = wall - this.now().most;
  }

  /** The time now: what is certain, and what the clock on the wall makes of it. */
  now() {
    const { least, most, unknown } = this.segments.at(-1);
    const passed = this.clocks.mono() - this.base;
    return { least: least + passed, most: most + passed, unknown };
  }

  /** Whether the time is in doubt by more than is worth telling. */
  inDoubt() {
    const { least, most, unknown } = this.now();
    return unknown || most - least > DOUBT;
  }

  /**
   * Compare the clocks; to be called each second.
   * @param {{hidden: boolean, live: boolean}} how `hidden`: whether the screen may have been off
   *   since the last call, so that the tablet may have slept; `live`: whether a batch is running
   * @returns {{kind: "moved" | "slept", seconds: number} | null} what was found, if anything
   */
  tick({ hidden, live }) {
    const wall = this.clocks.wall();
    if (!live) {
      this.settle();
      return null;
    }
    const jump = wall - this.now().most - this.shift;
    if (Math.abs(jump) <= SLACK) {
      this.shift += jump; // clocks drift
      return null;
    }
    if (jump > 0 && hidden) {
      this.#begin(0, jump);
      return { kind: "slept", seconds: jump / 1000 };
    }
    this.shift += jump;
    return { kind: "moved", seconds: jump / 1000 };
  }

  /** Nothing is running: the clock on the wall is taken as it stands. */
  settle() {
    const wall = this.clocks.wall();
    const { least, most, unknown } = this.now();
    if (unknown || most !== least || Math.abs(wall - most) > SLACK) {
      this.first += this.segments.length;
      this.segments = [fresh(wall)];
      this.base = this.clocks.mono();
      this.ahead = null;
    }
    this.shift = wall - this.now().most;
  }

  /**
   * The server told its time.
   * @param {number} server its time when it answered
   * @param {number} took how long the answer took [ms]
   * @returns {{kind: "settled" | "slept" | "server", seconds: number} | null}
   */
  heard(server, took) {
    if (!Number.isFinite(server) || !(took >= 0) || took > LONGEST_ANSWER) return null;
    const there = server + took / 2;
    const { least, most, unknown } = this.now();
    const doubtful = unknown || most - least > SLACK;
    if (this.ahead === null) {
      if (!doubtful) Object.assign(this, { ahead: there - most, within: took / 2 });
      return null;
    }
    const here = there - this.ahead;
    if (doubtful) {
      this.#know(Math.max(here, least));
      return { kind: "settled", seconds: (this.now().most - least) / 1000 };
    }
    const drift = here - most;
    // when within its answer the server read its clock nobody knows, now as before
    if (Math.abs(drift) <= SERVER_SLACK + took / 2 + this.within) return null;
    const wall = this.clocks.wall();
    if (drift > 0 && Math.abs(wall - here) <= SERVER_SLACK) {
      // server and wall agree against the running clock: it stood still
      this.#begin(drift, drift);
      this.shift = wall - this.now().most;
      return { kind: "slept", seconds: drift / 1000 };
    }
    Object.assign(this, { ahead: there - most, within: took / 2 });
    return { kind: "server", seconds: drift / 1000 };
  }

  /**
   * Another watch told the time.
   * @param {number | null} minute start of the minute that it shows, or null where it shows
   *   what this tablet says
   * @returns {boolean} false where that is earlier than what is certain: nothing is changed
   */
  confirm(minute) {
    const { least, most, unknown } = this.now();
    if (minute === null) {
      if (unknown) return false;
      this.#know(most);
      return true;
    }
    const last = minute + MINUTE - 1;
    if (last < least) return false;
    this.#know(Math.max(least, minute), Math.max(least, last));
    return true;
  }

  /** @returns {{at: number, stamp: Stamp}} time to be written for what happens now, and its stamp */
  stamp() {
    const segment = this.first + this.segments.length - 1;
    return { at: this.now().most, stamp: { segment, offset: this.clocks.mono() - this.base } };
  }

  /**
   * How long ago something was.
   * @param {Stamp | null} stamp of this tablet, or null for what another one logged
   * @param {number} at its time as written, on this tablet's scale
   * @returns {{least: number, most: number, unknown: boolean}} [ms]
   */
  since(stamp, at) {
    const now = this.now();
    const index = stamp ? stamp.segment - this.first : -1;
    const found = this.segments[index];
    if (!found) return { least: now.least - at, most: now.most - at, unknown: now.unknown };
    const passed = this.clocks.mono() - this.base;
    const newest = this.segments.length - 1;
    if (index === newest) {
      const exact = passed - stamp.offset;
      return { least: exact, most: exact, unknown: false };
    }
    const between = this.segments.slice(index + 1, -1).reduce((sum, s) => sum + s.length, 0);
    const ran = Math.max(found.length - stamp.offset, 0) + between + passed;
    const then = { least: found.least + stamp.offset, most: found.most + stamp.offset };
    const unknown = this.segments.slice(index + 1).some((segment) => segment.unknown);
    return {
      least: Math.max(ran, now.least - then.most),
      most: Math.max(ran, now.most - then.least),
      unknown: unknown && now.unknown,
    };
  }

  /** A time that a device wrote, on this tablet's scale, where both know the server's. */
  here(at, serverAhead, device = "") {
    if (device && device === this.device) return at;
    if (serverAhead === null || !Number.isFinite(serverAhead) || this.ahead === null) return at;
    return at + serverAhead - this.ahead;
  }

  /** @returns {Ledger} to be kept */
  ledger() {
    const segments = this.segments.map((segment) => ({ ...segment }));
    segments.at(-1).length = this.clocks.mono() - this.base;
    const { first, shift, ahead, within } = this;
    return { first, segments, shift, ahead, within, wall: this.clocks.wall() };
  }

  #begin(least, most) {
    const now = this.now();
    const mono = this.clocks.mono();
    this.segments.at(-1).length = mono - this.base;
    this.segments.push({
      least: now.least + least,
      most: now.most + most,
      length: 0,
      unknown: now.unknown,
    });
    this.base = mono;
  }

  #know(least, most = least) {
    const passed = this.clocks.mono() - this.base;
    const segment = this.segments.at(-1);
    Object.assign(segment, { least: least - passed, most: most - passed, unknown: false });
    this.shift = this.clocks.wall() - most;
  }
}

function fresh(wall) {
  return { least: wall, most: wall, length: 0, unknown: false };
}

function ended({ least, most, length, unknown }) {
  return { least: least + length, most: most + length, unknown };
}
