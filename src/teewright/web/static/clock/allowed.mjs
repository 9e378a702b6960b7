// Who may not log a thing is not offered it: what the server would refuse has no button.

import { t } from "./texts.mjs";

/** Kinds of entry that an act ends in, any of which makes it worth offering. */
const KINDS_OF = {
  "give-up": ["aborted"], abort: ["aborted"], attempt: ["mixed"], correct: ["corrected"], "new-test": ["test-reading"],
  logger: ["reading", "test-reading"], confirm: [], list: [], refused: [],
};

/**
 * Whether an act may be offered.
 * @param {import("./book.mjs").Book} book
 * @param {string} act
 */
export function mayDo(book, act) {
  const kinds = KINDS_OF[act] ?? [act];
  return !kinds.length || kinds.some((kind) => book.may(kind));
}

/**
 * The next action for who looks at it: what only others log is told, and not offered.
 * @param {import("./book.mjs").Book} book
 * @param {import("./todo.mjs").Todo} todo
 * @returns {import("./todo.mjs").Todo}
 */
export function forReader(book, todo) {
  const more = todo.more.filter(({ act }) => mayDo(book, act));
  if (mayDo(book, todo.act)) return { ...todo, more };
  const [first = { label: t("clock.act.list"), act: "list" }, ...rest] = more;
  return { ...todo, how: [...todo.how, t("clock.todo.looks")], ...first, more: rest };
}
