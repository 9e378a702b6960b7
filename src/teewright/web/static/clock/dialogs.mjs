// What is asked at the manhole: one question at a time, with large targets.

import { button, h } from "./dom.mjs";
import { GaugeFault, readGauge } from "./gauge.mjs";
import { numberField } from "./keypad.mjs";
import { notOfTheHold, readWords, timesOf, withTimes } from "./logger.mjs";
import { canReadCodes, possible, readCode, sha256, size, smaller } from "./photo.mjs";
import { t } from "./texts.mjs";
import { show, units } from "./units.mjs";

/**
 * Ask something over the sheet.
 * @param {string} title
 * @param {(done: (answer: any) => void) => (Node | null)[]} content
 * @returns {Promise<any>} the answer, or null where it was closed
 */
export function ask(title, content) {
  return new Promise((resolve) => {
    const box = h("dialog", { className: "ask", "aria-labelledby": "ask-title" });
    const done = (answer) => {
      resolve(answer);
      box.close();
    };
    const heading = h("h2", { id: "ask-title" }, title);
    const close = button(t("clock.close"), () => done(null), { className: "act quiet close" });
    box.append(h("div", { className: "ask-head" }, heading, close), ...content(done).filter(Boolean));
    box.addEventListener("close", () => {
      resolve(null);
      box.remove();
    });
    document.body.append(box);
    box.showModal();
  });
}

function save(act, label = t("clock.save")) {
  return button(label, act, { className: "act wide" });
}

/** A gauge and a probe. @returns {Promise<null | {pressure: number, temperature: number | null}>} */
export function askPressure({ skip = false } = {}) {
  return ask(t("clock.ask.pressure_title"), (done) => {
    const pressure = numberField({ label: t("clock.ask.pressure"), quantity: "pressure", required: true });
    const warmth = numberField({ label: t("clock.ask.temperature_wall"), quantity: "temperature", keys: false });
    const log = () => {
      const found = { pressure: pressure.read(), temperature: warmth.read() };
      if (found.pressure !== undefined && found.temperature !== undefined) done(found);
    };
    const later = skip ? button(t("clock.skip"), () => done(null), { className: "act quiet wide" }) : null;
    return [pressure.element, warmth.element, save(log), later];
  });
}

const METHODS = ["LA", "LB", "LC", "LD", "F1417", "F1417-HALF", "W"];

/** What is marked until a method is chosen: that of the standards whose units are read here. */
function usual() {
  return units() === "us" ? "F1417" : "LC";
}

/** A reading of a leak test. */
export function askTest({ label, method }) {
  return ask(t("clock.ask.test_title", { label }), (done) => {
    let chosen = method || usual();
    const pressure = numberField({ label: t("clock.ask.pressure"), quantity: "test", required: true });
    const water = numberField({ label: t("clock.ask.test_volume"), quantity: "volume", keys: false, required: true });
    const choose = (name) => {
      chosen = name;
      water.element.hidden = name !== "W";
    };
    const choice = method ? null : methods(chosen, choose);
    choose(chosen);
    const log = () => {
      const found = { method: chosen, pressure: pressure.read(), volume: chosen === "W" ? water.read() : null };
      if (found.pressure !== undefined && found.volume !== undefined) done(found);
    };
    return [choice, pressure.element, water.element, save(log)];
  });
}

function methods(chosen, onchoose) {
  return choices(t("clock.ask.test_method"), METHODS.map((name) => [name, t(`clock.ask.method_${name.toLowerCase()}`)]), chosen, onchoose);
}

function choices(legend, options, chosen, onchoose) {
  const name = `choice-${Math.random().toString(36).slice(2)}`;
  return h(
    "fieldset", { className: "choices-of" }, h("legend", {}, legend),
    options.map(([value, words]) =>
      h("label", {}, h("input", { type: "radio", name, value, checked: value === chosen, onchange: () => onchoose(value) }), h("span", {}, words)),
    ),
  );
}

/**
 * A photo. With a `label` of its own that stays, and what is kept is told below; `onchange` is told
 * of each: what is kept, and what the camera gave.
 */
function photoField({ label = "", known = null, onchange = () => {} } = {}) {
  let file = known;
  const said = h("p", { className: "fault", role: "alert" });
  const words = h("span", {}, label || t("clock.ask.photo"));
  const kept = label ? h("p", { className: "second note", role: "status" }) : null;
  const tell = () => {
    const how = { size: size(file.bytes.byteLength) };
    if (kept) kept.textContent = t("clock.ask.photo_kept", how);
    else words.textContent = t("clock.ask.photo_more", how);
  };
  if (known) tell();
  const input = h("input", {
    type: "file", accept: "image/*", className: "visually-hidden",
    onchange: async () => {
      if (!input.files[0]) return;
      said.textContent = t("clock.ask.photo_wait");
      try {
        file = await smaller(input.files[0]);
        tell();
        said.textContent = "";
        await onchange(file, input.files[0]);
      } catch {
        said.textContent = t("clock.ask.photo_failed");
      }
    },
  });
  input.setAttribute("capture", "environment");
  const element = possible()
    ? h("div", {}, h("label", { className: "act quiet wide file" }, words, input), kept, said)
    : h("p", { className: "second" }, t("clock.ask.photo_insecure"));
  return { element, file: () => file, said };
}

function textField(label, { value = "", lines = 2 } = {}) {
  const field = h("textarea", { rows: lines, value, maxLength: 400 });
  return { element: h("label", { className: "words" }, label, field), field };
}

const oneLine = (text) => text.replace(/\s+/g, " ").trim();

/** A note, with a photo or without. */
export function askNote() {
  return ask(t("clock.ask.note_title"), (done) => {
    const words = textField(t("clock.ask.note_text"));
    const photo = photoField();
    const log = () => {
      const text = oneLine(words.field.value);
      if (!text && !photo.file()) photo.said.textContent = t("clock.ask.note_empty");
      else done({ text, file: photo.file() });
    };
    return [photo.element, words.element, save(log)];
  });
}

/** What the camera shows after the work. */
export function askInspection() {
  return ask(t("clock.ask.inspect_title"), (done) => {
    const words = textField(t("clock.ask.inspect_text"));
    const photo = photoField();
    const log = () => done({ text: oneLine(words.field.value), file: photo.file() });
    const fine = save(log, t("clock.ask.inspect_ok"));
    words.field.addEventListener("input", () => {
      fine.textContent = t(words.field.value.trim() ? "clock.save" : "clock.ask.inspect_ok");
    });
    return [words.element, photo.element, fine];
  });
}

const REASONS = ["stuck", "late", "packer", "place", "flow", "collar", "people"];

/** Why it is given up. @returns {Promise<string | null>} */
export function askReason(at) {
  return ask(t("clock.ask.abort_title"), (done) => {
    const other = textField(t("clock.ask.abort_other"));
    const usual = REASONS.map((key) => {
      const words = t(`clock.reason.${key}`);
      return button(words, () => done(words), { className: "act quiet wide" });
    });
    const log = () => {
      const text = oneLine(other.field.value);
      if (text) done(text);
      else other.field.focus();
    };
    const said = h("p", { className: "second" }, t("clock.ask.abort_at", { time: at }));
    return [said, h("div", { className: "many" }, usual), other.element, save(log)];
  });
}

/** Another step than the next. @returns {Promise<string | null>} */
export function askOther(kinds) {
  return ask(t("clock.ask.other_title"), (done) => [
    h("p", { className: "second" }, t("clock.ask.other_how")),
    h("div", { className: "many" }, kinds.map((kind) => button(t(`clock.act.${kind}`), () => done(kind), { className: "act quiet wide" }))),
  ]);
}

/** The time by another watch. @returns {Promise<null | {minute: string | null}>} */
export function askTime({ now, unknown, check }) {
  return ask(t("clock.ask.confirm_title"), (done) => {
    const fault = h("p", { className: "fault", role: "alert" });
    const field = h("input", { type: "text", inputMode: "numeric", autocomplete: "off", placeholder: "21:04" });
    const other = () => {
      const found = /^([01]?\d|2[0-3])[:.h]([0-5]\d)$/.exec(field.value.trim());
      const wrong = found ? check(Number(found[1]), Number(found[2])) : t("clock.ask.time_wrong", { value: field.value });
      if (wrong) fault.textContent = wrong;
      else done({ minute: `${found[1]}:${found[2]}` });
    };
    const same = unknown ? null : save(() => done({ minute: null }), t("clock.ask.confirm_same", { time: now }));
    return [
      h("p", { className: "second" }, t("clock.ask.confirm_how")),
      same,
      h("label", { className: "words" }, t("clock.ask.confirm_time"), field),
      fault,
      button(t("clock.save"), other, { className: unknown ? "act wide" : "act quiet wide" }),
    ];
  });
}

/** Readings from the file of a logger. */
export function askLogger({ held, tested, method, from, now }) {
  return ask(t("clock.ask.logger_title"), (done) => {
    let found = null;
    let chosen = held ? "reading" : "test-reading";
    let by = method || usual();
    const how = methods(by, (name) => (by = name));
    how.hidden = chosen === "reading";
    const said = h("p", { className: "fault", role: "alert" });
    const log = save(() => (found ? done({ kind: chosen, method: by, ...found }) : undefined));
    const tell = () => {
      const strange = found !== null && chosen === "reading" && notOfTheHold(found.rows, from, now);
      log.disabled = found === null || strange;
      if (found) said.textContent = strange ? t("clock.gauge.other_time", timesOf(found.rows)) : readWords(found.rows, chosen);
    };
    log.disabled = true;
    const input = h("input", {
      type: "file", accept: ".csv,.txt,text/csv,text/plain", className: "visually-hidden",
      onchange: async () => {
        const file = input.files[0];
        input.value = ""; // the same file, mended, is a change too
        found = null;
        log.disabled = true;
        if (!file) return;
        try {
          found = await fromLogger(file, now);
          tell();
        } catch (error) {
          said.textContent = error instanceof GaugeFault ? t(error.key, error.values) : String(error.message ?? error);
        }
      },
    });
    const choose = (kind) => {
      chosen = kind;
      how.hidden = kind === "reading";
      tell();
    };
    const options = [["reading", t("clock.ask.logger_hold")], ["test-reading", t("clock.ask.logger_test")]];
    return [
      h("p", { className: "second" }, t("clock.ask.logger_how")),
      held && tested ? choices(t("clock.ask.logger_of"), options, chosen, choose) : null,
      how,
      h("label", { className: "act quiet wide file" }, t("clock.ask.logger_file"), input),
      said,
      log,
    ];
  });
}

async function fromLogger(file, now) {
  const bytes = await file.arrayBuffer();
  const rows = withTimes(readGauge(new TextDecoder().decode(bytes)), now);
  if (!rows.every((row) => row.some(([name]) => name === "pressure" || name === "volume"))) {
    throw new GaugeFault("clock.gauge.columns");
  }
  const kept = possible() ? { sha256: await sha256(bytes), media_type: "text/csv", bytes } : null;
  return { rows, name: file.name, file: kept };
}

/**
 * A field for the number of a batch, by hand or from its label; the photo of the label is kept.
 * @param {{batch?: string, label?: import("./outbox.mjs").AttachedFile}} kept
 * @param {(change: object) => void} onchange
 */
export function batchField({ batch = "", label = null }, onchange) {
  const fault = h("p", { className: "fault", role: "alert" });
  const field = h("input", { value: batch, autocomplete: "off", maxLength: 60, oninput: () => onchange({ batch: field.value }) });
  const reads = canReadCodes();
  const read = async (made, given) => {
    onchange({ label: made });
    if (!reads) return;
    const found = await readCode(given).catch(() => null);
    fault.textContent = found ? "" : t("clock.ask.batch_none");
    if (!found) return;
    field.value = found;
    onchange({ batch: found });
  };
  const photo = photoField({ label: t(reads ? "clock.ask.batch_camera" : "clock.ask.batch_photo"), known: label, onchange: read });
  const how = reads ? null : h("p", { className: "second note" }, t("clock.ask.batch_no_codes"));
  return h("div", {}, h("label", { className: "words" }, t("clock.ask.batch"), field), photo.element, how, fault);
}
