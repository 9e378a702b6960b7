// A number typed with gloves: large keys, the unit beside it, one sentence where it is wrong.

import { button, h } from "./dom.mjs";
import { t } from "./texts.mjs";
import { of, typed } from "./units.mjs";

let count = 0;

/**
 * A field for a quantity.
 * @param {{label: string, quantity: string, value?: string, keys?: boolean, required?: boolean}} given
 *   `keys`: whether it has keys of its own; a hardware keyboard works in any case
 * @returns {{element: HTMLElement, input: HTMLInputElement, read: () => number | null | undefined}}
 *   `read` gives the value in SI units, null where it was left empty, undefined where it is
 *   wrong, which the field then says
 */
export function numberField({ label, quantity, value = "", keys = true, required = false }) {
  count += 1;
  const id = `number-${count}`;
  const { unit } = of(quantity);
  const fault = h("p", { className: "fault", id: `${id}-fault`, role: "alert" });
  const input = h("input", {
    id, value, autocomplete: "off", inputMode: keys ? "none" : "decimal",
    "aria-describedby": `${id}-fault`,
    oninput: () => fault.replaceChildren(),
  });
  const line = h("div", { className: "typed" }, input, h("span", {}, unit));
  const element = h("div", { className: "number" }, h("label", { htmlFor: id }, label), line, fault);
  if (keys) element.append(pad(input, fault));
  const read = () => {
    const found = typed(input.value, quantity);
    if ("value" in found) return found.value;
    if (found.problem === "missing" && !required) return null;
    const { unit: named, low, high, problem } = found;
    fault.textContent = t(`clock.ask.number_${problem}`, { value: input.value.trim(), low, high, unit: named });
    input.setAttribute("aria-invalid", "true");
    input.focus();
    return undefined;
  };
  return { element, input, read };
}

function pad(input, fault) {
  const press = (sign) => {
    input.value = sign === "" ? input.value.slice(0, -1) : input.value + sign;
    input.removeAttribute("aria-invalid");
    fault.replaceChildren();
  };
  const key = (sign, words = sign) =>
    button(words, () => press(sign), { className: "key", "aria-label": words });
  const digits = [..."123456789"].map((digit) => key(digit));
  const point = button(".", () => press("."), { className: "key", "aria-label": t("clock.ask.point") });
  const clear = button(t("clock.ask.clear"), () => press(""), { className: "key small" });
  return h("div", { className: "keys" }, digits, point, key("0"), clear);
}
