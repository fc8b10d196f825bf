/**
 * What is known of an object beside what it holds, for as long as there is the object. Used as a WeakMap is, which would cost more for objects
 * that live for a keystroke: what the table of a WeakMap holds outlives the small rounds of the garbage collector, and all that it
 * leads to with it. One of these is made for a whole module or service; what is kept beside one object only wants a WeakMap of its own.
 */

const notes: unique symbol = Symbol("notes");

interface Noted {
  readonly [notes]?: Map<unknown, unknown>;
}

export class Beside<K extends object, V> {
  get(about: K): V | undefined {
    return (about as Noted)[notes]?.get(this) as V | undefined;
  }

  has(about: K): boolean {
    return (about as Noted)[notes]?.has(this) === true;
  }

  set(about: K, value: V): void {
    const known = (about as Noted)[notes];
    if (known) known.set(this, value);
    // Not seen by whoever copies, compares or lists the object.
    else Object.defineProperty(about, notes, { value: new Map<unknown, unknown>([[this, value]]) });
  }

  delete(about: K): void {
    (about as Noted)[notes]?.delete(this);
  }
}
