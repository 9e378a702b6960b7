// Texts of the page, as the catalogue has them.

const found = document.getElementById("texts");
const TEXTS = found ? JSON.parse(found.textContent) : {};

/**
 * A text with its values set in; with `n` = 1 its `_one` form where there is one.
 * @param {string} key
 * @param {Record<string, string | number>} [values]
 */
export function t(key, values = {}) {
  const name = values.n === 1 && `${key}_one` in TEXTS ? `${key}_one` : key;
  const text = TEXTS[name];
  if (text === undefined) throw new Error(`no text ${key}`);
  return text.replace(/\{(\w+)\}/g, (_, value) => String(values[value] ?? ""));
}
