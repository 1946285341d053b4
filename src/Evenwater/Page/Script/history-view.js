// The span that is looked at: moved, widened, narrowed; followed softly, unless the person wants no motion.

const least = 60_000;
const still = matchMedia('(prefers-reduced-motion: reduce)');

export class View {
  #whole; #latest; #target; #frame = 0; #changed; #settled; #timer = 0; #last = 0;

  /** @param changed  called before each frame in which the view differs; settled when it has come to rest */
  constructor(from, to, latest, changed, settled) {
    this.#whole = { from, to };
    this.#latest = Math.max(latest, to);
    this.from = from;
    this.to = to;
    this.#target = { from, to };
    this.#changed = changed;
    this.#settled = settled;
  }

  get length() { return this.to - this.from; }

  /** Another whole: what "Whole" shows. */
  begin(from, to) {
    this.#whole = { from, to };
    this.#latest = Math.max(this.#latest, to);
    this.go(from, to, false);
  }

  /** Time goes on meanwhile. */
  known(now) { this.#latest = Math.max(this.#latest, now); }

  whole() { this.go(this.#whole.from, this.#whole.to); }

  /** By a share of its length; later than now there is nothing. */
  pan(share) { this.go(this.#target.from + share * (this.#target.to - this.#target.from), this.#target.to + share * (this.#target.to - this.#target.from)); }

  /** So many times as long, about a place of it (0 to 1). */
  zoom(times, about = 0.5, soft = true) {
    const length = this.#target.to - this.#target.from;
    const at = this.#target.from + about * length;
    this.go(at - about * length * times, at + (1 - about) * length * times, soft);
  }

  go(from, to, soft = true) {
    let length = Math.min(Math.max(to - from, least), 20 * 365 * 86400e3);
    const middle = (from + to) / 2;
    if (length !== to - from) from = middle - length / 2;
    from = Math.min(from, this.#latest - length);
    this.#target = { from, to: from + length };
    if (!soft || still.matches) ({ from: this.from, to: this.to } = this.#target);
    if (!this.#frame) {
      this.#last = performance.now();
      this.#frame = requestAnimationFrame(now => this.#step(now));
    }
  }

  #step(now) {
    // Half of what is left in each 40 ms.
    const share = 1 - 0.5 ** (Math.max(0, now - this.#last) / 40);
    this.#last = now;
    this.from += share * (this.#target.from - this.from);
    this.to += share * (this.#target.to - this.to);
    const near = Math.abs(this.from - this.#target.from) + Math.abs(this.to - this.#target.to) < 1e-3 * this.length;
    if (near) ({ from: this.from, to: this.to } = this.#target);
    this.#changed();
    this.#frame = near ? 0 : requestAnimationFrame(next => this.#step(next));
    clearTimeout(this.#timer);
    if (near) this.#timer = setTimeout(this.#settled, 180);
  }
}
