// The flash chip: bytes that outlive the power, the time that erasing and programming take, and power cuts in the midst of
// them. Calling it is left to the boot ROM.

const SIZE = 2 * 1024 * 1024;
const SECTOR = 4096;

/** Thrown out of an erase or a program when the power goes. */
export class PowerCut extends Error {}

export class Flash {
  /** Times in milliseconds: an erase of 4 KiB, a program of 256 bytes. */
  constructor({ erase, program, seed }) {
    this.bytes = new Uint8Array(SIZE).fill(0xff);
    this.times = { erase, program };
    this.counts = { erase: 0, program: 0 };
    this.cut = null;
    /** Called once, when the next erase begins. */
    this.atErase = null;
    this.seed = seed >>> 0 || 1;
  }

  /** Plans a cut in the `after`-th erase or program from now, after this part of it, from 0 to 1. */
  plan(kind, after, part) {
    this.cut = { kind, after, part };
  }

  erase(from, count, wait) {
    const begins = this.atErase;
    this.atErase = null;
    begins?.();
    const rest = this.due('erase');
    // sectors are erased one after another; one that is not erased for long enough is a mixture of old and new bits
    const done = (rest ?? 1) * (count / SECTOR);
    for (let at = 0; at < count; at++) {
      const share = done - Math.floor(at / SECTOR);
      if (share >= 1 || (share > 0 && this.chance(share))) this.bytes[from + at] = 0xff;
      else if (share > 0) this.bytes[from + at] |= this.random() & this.random();
    }
    wait((this.times.erase * 1e6 * count * (rest ?? 1)) / SECTOR);
    this.finish('erase', rest);
  }

  program(from, bytes, wait) {
    const rest = this.due('program');
    const whole = rest === null;
    const stop = whole ? bytes.length : Math.floor(bytes.length * rest);
    for (let at = 0; at < stop; at++) this.bytes[from + at] &= bytes[at];
    // the byte under way loses only some of its bits
    if (!whole && stop < bytes.length) this.bytes[from + stop] &= bytes[stop] | this.random();
    wait((this.times.program * 1e6 * bytes.length * (rest ?? 1)) / 256);
    this.finish('program', rest);
  }

  /** How much of this operation is done before the power goes; null where it does not go. */
  due(kind) {
    this.counts[kind]++;
    if (this.cut?.kind !== kind || --this.cut.after > 0) return null;
    return this.cut.part;
  }

  finish(kind, rest) {
    if (rest === null) return;
    this.cut = null;
    throw new PowerCut(`in ${kind}`);
  }

  chance(part) {
    return this.random() < part * 256;
  }

  /** 0 to 255, from the seed alone (Marsaglia's xorshift with 13, 17, 5). */
  random() {
    this.seed ^= this.seed << 13;
    this.seed ^= this.seed >>> 17;
    this.seed ^= this.seed << 5;
    return this.seed & 0xff;
  }
}
