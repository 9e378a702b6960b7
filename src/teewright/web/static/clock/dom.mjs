// Elements of the page, made without markup in strings.

const SVG = "http://www.w3.org/2000/svg";

/**
 * An element. Properties that begin with `on` are listeners, `class` and those with a dash are
 * attributes; children that are null or false are left out.
 */
export function h(tag, properties = {}, ...children) {
  return filled(document.createElement(tag), properties, children);
}

/** An element of a drawing. */
export function s(tag, attributes = {}, ...children) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
  made.append(...children.map(String));
  return made;
}

function filled(made, properties, children) {
  for (const [name, value] of Object.entries(properties)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (name in made && name !== "list" && name !== "form") made[name] = value;
    else made.setAttribute(name === "className" ? "class" : name, value === true ? "" : String(value));
  }
  made.append(...children.flat(3).filter((child) => child !== null && child !== false && child !== undefined));
  return made;
}

/** Set the text of an element where it changed, so that nothing is drawn anew for nothing. */
export function say(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}

/** A button. */
export function button(label, onclick, properties = {}) {
  return h("button", { type: "button", className: "act quiet", onclick, ...properties }, label);
}
