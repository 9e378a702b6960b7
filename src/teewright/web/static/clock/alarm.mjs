// Sound and vibration at thresholds; a browser lets a page sound only after it was touched.

let context = null;

/** Whether a sound would be heard by now. */
export function ready() {
  return context?.state === "running";
}

/** Called at every touch: the first one lets the page sound. */
export function unlock() {
  const Context = globalThis.AudioContext ?? globalThis.webkitAudioContext;
  if (!Context) return;
  context ??= new Context();
  if (context.state === "suspended") context.resume().catch(() => {});
}

const PATTERNS = {
  10: [1, 880], 5: [2, 880], 2: [3, 988], 0: [6, 1175], release: [2, 523],
};

/**
 * Sound and vibrate.
 * @param {number | "release"} what threshold in minutes, or the release
 */
export function sound(what) {
  const [times, pitch] = PATTERNS[what] ?? [1, 880];
  navigator.vibrate?.(Array.from({ length: times }, () => [300, 150]).flat());
  if (!ready()) return false;
  for (let n = 0; n < times; n += 1) beep(context.currentTime + n * 0.45, pitch);
  return true;
}

function beep(at, pitch) {
  const tone = context.createOscillator();
  const level = context.createGain();
  tone.frequency.value = pitch;
  level.gain.setValueAtTime(0, at);
  level.gain.linearRampToValueAtTime(0.6, at + 0.02);
  level.gain.setValueAtTime(0.6, at + 0.26);
  level.gain.linearRampToValueAtTime(0, at + 0.3);
  tone.connect(level).connect(context.destination);
  tone.start(at);
  tone.stop(at + 0.32);
}

let lock = null;

/** Keep the screen on while a batch runs, where the browser can. */
export async function keepAwake(wanted) {
  if (!navigator.wakeLock) return;
  try {
    if (wanted && !document.hidden && (!lock || lock.released)) {
      lock = await navigator.wakeLock.request("screen");
    } else if (!wanted && lock && !lock.released) {
      await lock.release();
    }
  } catch {
    lock = null; // refused, e.g. with little battery left: the sheet goes on without
  }
}

/** Whether the screen is being kept on. */
export function isAwake() {
  return Boolean(lock && !lock.released);
}
