/** A growing list of distinct rows of bytes, found again by content. Rows are numbered from 0 in the order in which they came. */
export class RowTable {
  readonly width: number;
  count = 0;
  #bytes: Uint8Array;
  /** Open addressing; row number + 1, 0 is free. */
  #slots: Int32Array;

  constructor(width: number) {
    this.width = width;
    this.#bytes = new Uint8Array(64 * width);
    this.#slots = new Int32Array(256);
  }

  /** Number of the row, -1 when it is not in the table. */
  find(row: Uint8Array): number {
    return this.#slots[this.#slotOf(row)]! - 1;
  }

  /** Number of the row, which is added when it is new (then it equals the old `count`). */
  add(row: Uint8Array): number {
    let slot = this.#slotOf(row);
    const found = this.#slots[slot]!;
    if (found > 0) return found - 1;
    if (2 * (this.count + 1) > this.#slots.length) {
      this.#grow();
      slot = this.#slotOf(row);
    }
    const offset = this.count * this.width;
    if (offset + this.width > this.#bytes.length) {
      const more = new Uint8Array(2 * this.#bytes.length + this.width);
      more.set(this.#bytes);
      this.#bytes = more;
    }
    this.#bytes.set(row, offset);
    this.#slots[slot] = ++this.count;
    return this.count - 1;
  }

  /** The row itself; not to be written to. */
  row(index: number): Uint8Array {
    return this.#bytes.subarray(index * this.width, (index + 1) * this.width);
  }

  #slotOf(row: Uint8Array): number {
    let hash = 0x811c9dc5;
    for (let i = 0; i < this.width; i++) hash = Math.imul(hash ^ row[i]!, 0x01000193);
    hash ^= hash >>> 15;
    const mask = this.#slots.length - 1;
    for (let slot = hash & mask; ; slot = (slot + 1) & mask) {
      const found = this.#slots[slot]!;
      if (found === 0 || this.#equals(found - 1, row)) return slot;
    }
  }

  #equals(index: number, row: Uint8Array): boolean {
    const offset = index * this.width;
    for (let i = 0; i < this.width; i++) if (this.#bytes[offset + i] !== row[i]) return false;
    return true;
  }

  #grow(): void {
    this.#slots = new Int32Array(2 * this.#slots.length);
    for (let index = 0; index < this.count; index++) this.#slots[this.#slotOf(this.row(index))] = index + 1;
  }
}
