// Readings of a logger's CSV with the unit of each column in its name, as the server reads them.

export const MOST = 2000;
const VOLUME = { l: [1e-3, 0], ml: [1e-6, 0], m3: [1, 0], gal: [0.003785411784, 0], ft3: [0.028316846592, 0] };
const QUANTITIES = {
  pressure: { units: { bar: [1e5, 0], mbar: [100, 0], kpa: [1000, 0], pa: [1, 0], psi: [6894.757293168361, 0] }, low: 0, high: 2e7 },
  temperature: { units: { c: [1, 273.15] }, low: 213.15, high: 673.15 },
  volume: { units: VOLUME, low: 0, high: 100 },
  elapsed: { units: { s: [1, 0], min: [60, 0] }, low: 0, high: 1e6 },
  mass: { units: { kg: [1, 0] }, low: 0, high: 1e4 },
  test_volume: { units: VOLUME, low: 0, high: 100 },
  seal_distance: { units: { m: [1, 0], mm: [1e-3, 0], ft: [0.3048, 0], in: [0.0254, 0] }, low: 0, high: 1e3 },
};

/** A fault of the file: a key of the texts and its values. */
export class GaugeFault extends Error {
  constructor(key, values = {}) {
    super(key);
    Object.assign(this, { key, values });
  }
}

/**
 * Readings, each as (name, SI value) pairs.
 * @param {string} text
 * @returns {[string, string][][]}
 */
export function readGauge(text) {
  const plain = text.replace(/^\ufeff/, "");
  const delimiter = plain.split("\n", 1)[0].includes(";") ? ";" : ",";
  const [header, ...lines] = rows(plain, delimiter);
  if (!header || !lines.length) throw new GaugeFault("clock.gauge.empty");
  if (lines.length > MOST) throw new GaugeFault("clock.gauge.long", { n: MOST });
  return lines.map((cells, n) => reading(header, cells, n + 2));
}

function reading(header, cells, line) {
  const pairs = new Map();
  header.forEach((name, n) => {
    if (name) pairs.set(name.trim(), (cells[n] ?? "").trim().replaceAll(",", "."));
  });
  return [...pairs].map(([name, text]) => named(name, text, line));
}

function named(name, text, line) {
  const at = name.lastIndexOf("_");
  const bare = name in QUANTITIES;
  const stem = bare ? name : name.slice(0, Math.max(at, 0));
  const unit = bare ? "" : name.slice(at + 1);
  const quantity = Object.hasOwn(QUANTITIES, stem) ? QUANTITIES[stem] : null;
  if (!quantity) return [name, text.slice(0, 500)];
  if (!Object.hasOwn(quantity.units, unit)) {
    const allowed = Object.keys(quantity.units).map((u) => `${stem}_${u}`).join(", ");
    throw new GaugeFault("clock.gauge.unit", { name, allowed });
  }
  const [factor, offset] = quantity.units[unit];
  const value = text === "" ? NaN : Number(text);
  const [low, high] = [quantity.low, quantity.high].map((end) => (end - offset) / factor);
  if (!(value >= low && value <= high)) {
    throw new GaugeFault("clock.gauge.line", { line, name, value: text, low: short(low), high: short(high) });
  }
  return [stem, String(value * factor + offset)];
}

function short(number) {
  return String(Number(number.toPrecision(6)));
}

/** Rows of a table; blank lines are left out, quotes are taken off. */
function rows(text, delimiter) {
  const found = [];
  let row = [];
  let cell = "";
  let quoted = false;
  const end = () => {
    row.push(cell);
    cell = "";
  };
  const signs = text.replaceAll("\r\n", "\n").replaceAll("\r", "\n");
  for (let at = 0; at < signs.length; at += 1) {
    const sign = signs[at];
    if (quoted) {
      if (sign !== '"') cell += sign;
      else if (signs[at + 1] === '"') cell += signs[(at += 1)];
      else quoted = false;
    } else if (sign === '"' && cell === "") quoted = true;
    else if (sign === delimiter) end();
    else if (sign === "\n") {
      end();
      if (row.length > 1 || row[0] !== "") found.push(row);
      row = [];
    } else cell += sign;
  }
  end();
  if (row.length > 1 || row[0] !== "") found.push(row);
  return found;
}
