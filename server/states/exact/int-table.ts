/**
 * A table from short series of integers to consecutive numbers (0, 1, 2, ...), in typed arrays. Used wherever the exact
 * engine must recognise "the same thing again" quickly: pieces of circuit, step sets, impedances.
 */
export class IntTable {
  /** Number of entries; the next new key gets this number. */
  size = 0;
  private keys = new Int32Array(1024);
  private used = 0;
  /** One more than entries: each ends where the next begins. */
  private starts = new Int32Array(257);
  private hashes = new Int32Array(256);
  private slots = new Int32Array(512).fill(-1);

  /** Number of the key `source[from .. from+length)`, or -1 - (number it was just given) when it is new. */
  intern(source: ArrayLike<number>, from: number, length: number): number {
    const hash = hashOf(source, from, length);
    let mask = this.slots.length - 1;
    let slot = hash & mask;
    for (;;) {
      const entry = this.slots[slot]!;
      if (entry < 0) break;
      if (this.hashes[entry] === hash && this.equal(entry, source, from, length)) return entry;
      slot = (slot + 1) & mask;
    }
    const entry = this.size++;
    if (this.size * 2 > this.slots.length) {
      this.grow();
      mask = this.slots.length - 1;
      slot = hash & mask;
      while (this.slots[slot]! >= 0) slot = (slot + 1) & mask;
    }
    this.slots[slot] = entry;
    this.hashes[entry] = hash;
    while (this.used + length > this.keys.length) {
      const bigger = new Int32Array(this.keys.length * 2);
      bigger.set(this.keys);
      this.keys = bigger;
    }
    this.starts[entry] = this.used;
    for (let i = 0; i < length; i++) this.keys[this.used + i] = source[from + i]!;
    this.used += length;
    this.starts[entry + 1] = this.used;
    return -1 - entry;
  }

  /** Number of the key; -1 when it was never entered. */
  find(source: ArrayLike<number>): number {
    const hash = hashOf(source, 0, source.length);
    const mask = this.slots.length - 1;
    for (let slot = hash & mask; ; slot = (slot + 1) & mask) {
      const entry = this.slots[slot]!;
      if (entry < 0) return -1;
      if (this.hashes[entry] === hash && this.equal(entry, source, 0, source.length)) return entry;
    }
  }

  private equal(entry: number, source: ArrayLike<number>, from: number, length: number): boolean {
    const start = this.starts[entry]!;
    if (this.starts[entry + 1]! - start !== length) return false;
    for (let i = 0; i < length; i++) if (this.keys[start + i] !== source[from + i]) return false;
    return true;
  }

  private grow(): void {
    const slots = new Int32Array(this.slots.length * 2).fill(-1);
    const mask = slots.length - 1;
    for (let entry = 0; entry < this.size - 1; entry++) {
      let slot = this.hashes[entry]! & mask;
      while (slots[slot]! >= 0) slot = (slot + 1) & mask;
      slots[slot] = entry;
    }
    this.slots = slots;
    if (this.hashes.length < slots.length / 2 + 2) {
      const hashes = new Int32Array(slots.length);
      hashes.set(this.hashes);
      this.hashes = hashes;
      const starts = new Int32Array(slots.length + 2);
      starts.set(this.starts);
      this.starts = starts;
    }
  }
}

function hashOf(source: ArrayLike<number>, from: number, length: number): number {
  let hash = length * 0x9e3779b1;
  for (let i = from; i < from + length; i++) {
    hash = Math.imul(hash ^ source[i]!, 0x85ebca6b);
    hash ^= hash >>> 15;
  }
  hash = Math.imul(hash, 0xc2b2ae35);
  return hash ^ (hash >>> 13);
}
