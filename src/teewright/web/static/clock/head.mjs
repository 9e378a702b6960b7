// The line over the sheets: what runs, how much is unsent, whether there is a signal.

import { button, h, say } from "./dom.mjs";
import { leftOf } from "./list.mjs";
import { t } from "./texts.mjs";
import { saveFile } from "./travel.mjs";
import { clockTime } from "./units.mjs";

export class Head {
  /** @param {import("./main.mjs").App} app */
  constructor(app) {
    this.app = app;
  }

  /** Bring it up to date. */
  draw(name, live) {
    const waiting = this.app.book.waiting().length;
    const refused = this.app.book.refused().length;
    const words = [waiting ? t("clock.sent.some", { n: waiting }) : t("clock.sent.all")];
    if (refused) words.push(t("clock.sent.refused", { n: refused }));
    say(document.getElementById("unsent"), words.join(", "));
    document.getElementById("unsent").dataset.count = String(waiting);
    this.#signal(document.getElementById("signal"));
    this.#tabs(name, live);
    this.#unsavedBox();
  }

  #signal(element) {
    const { signedOut } = this.app.sync.state;
    if (!signedOut) say(element, this.#signalWords());
    else if (!element.querySelector("a")) {
      const back = `/sign-in?back=${encodeURIComponent(location.pathname)}`;
      element.replaceChildren(h("a", { href: back }, t("clock.sent.signed_out")));
    }
  }

  #signalWords() {
    const { online, since, asking, problem } = this.app.sync.state;
    if (problem) return problem;
    if (online === null) return t("clock.sent.never");
    if (!online) return t("clock.sent.no_signal", { time: clockTime(since) });
    return asking ? t("clock.sent.asking") : t("clock.sent.signal", { time: clockTime(this.app.clock.now().most) });
  }

  #tabs(name, live) {
    const tabs = document.getElementById("tabs");
    const shape = JSON.stringify([name, live]);
    if (tabs.dataset.shape !== shape) {
      tabs.dataset.shape = shape;
      const links = live.map((installation) =>
        h("a", { href: this.app.address(installation), "aria-current": installation === name ? "page" : null }, h("span", {}, installation.replace(/#1$/, "")), " ", h("b", { "data-left": installation })),
      );
      const all = h("a", { href: "/clock", className: "all" }, t("clock.all"));
      tabs.replaceChildren(...(name ? [all, ...(live.length > 1 || (live.length && live[0] !== name) ? links : [])] : []));
    }
    for (const element of tabs.querySelectorAll("[data-left]")) say(element, leftOf(this.app.view(element.dataset.left)));
  }

  #unsavedBox() {
    const box = document.getElementById("unsaved");
    const shape = this.app.unsaved?.said ?? "";
    if (box.dataset.shape === shape) return;
    box.dataset.shape = shape;
    box.hidden = !this.app.unsaved;
    if (!this.app.unsaved) return;
    box.replaceChildren(
      h("p", {}, h("span", { className: "tab" }, t("clock.warn.tab_caution")), t("clock.warn.not_saved", { said: shape })),
      button(t("clock.again"), () => this.app.store(this.app.unsaved.drafts), { className: "act" }),
      button(t("clock.list.export"), () => saveFile(this.app)),
    );
  }
}
