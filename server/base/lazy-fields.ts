/**
 * Fields that are worked out when somebody reads them, as any other field to whoever lists, copies or compares the object.
 *
 * An accessor written inside an object literal is another function for each object, and so gives each object a hidden class of its own: reading
 * any field of such objects is slow, and all that the accessor can see outlives the small rounds of the garbage collector. The accessors made
 * here are the same for all objects.
 */

const state: unique symbol = Symbol("lazy fields");

interface State {
  readonly work: (name: PropertyKey) => unknown;
  readonly known: Map<PropertyKey, unknown>;
}

interface WithState {
  readonly [state]: State;
}

function fieldOf(object: WithState, name: PropertyKey): unknown {
  const { work, known } = object[state];
  if (known.has(name)) return known.get(name);
  const value = work(name);
  known.set(name, value);
  return value;
}

/** The lazy fields of one kind of object. Make one for a module. */
export class LazyFields<Fields extends object> {
  private readonly accessors: readonly (readonly [name: PropertyKey, accessor: PropertyDescriptor])[];

  constructor(...names: readonly (keyof Fields & string)[]) {
    this.accessors = names.map((name) => [
      name,
      {
        enumerable: true,
        configurable: true,
        get(this: WithState) {
          return fieldOf(this, name);
        },
      },
    ]);
  }

  /**
   * The object itself, with the fields.
   *
   * @param work what a field's value is; asked once for each
   */
  add<Own extends object>(object: Own, work: <Name extends keyof Fields>(name: Name) => Fields[Name]): Own & Fields {
    for (const [name, accessor] of this.accessors) Object.defineProperty(object, name, accessor);
    const own: State = { work: work as State["work"], known: new Map() };
    Object.defineProperty(object, state, { value: own });
    return object as Own & Fields;
  }
}
