/**
 * What loads draw, for each volt that they have. Kept with the frame: an edit of one load leaves what the others draw as it was, with all that
 * was worked out about it.
 */
import type { Load } from "../../machine/machine.ts";
import type { StateSet } from "./diagram.ts";
import type { LoadWork } from "./load-sets.ts";
import type { LoadTree } from "./load-tree.ts";
import { currentOptions, mostOfOptions, type Option } from "./options.ts";
import type { Space } from "./space.ts";

export class LoadCurrents {
  private readonly tree: LoadTree;
  private readonly type: number;
  private readonly level: number;
  private readonly inrush: Load["inrush"];
  /** The steady currents. */
  readonly options: readonly Option[];
  /** The most that any of them is where the load has volts, A: in any state, and at rest. Once worked out. */
  mostPassing: number | undefined;
  mostAtRest: number | undefined;
  /** As the load starts. */
  starting: StartingCurrents | undefined;

  constructor({ space, typeOf }: LoadWork, load: Load, tree: LoadTree) {
    this.tree = tree;
    this.type = typeOf[load.id]!;
    this.level = levelOf(space, load);
    this.inrush = load.inrush;
    this.options = currentOptions(space, load, tree);
  }

  /** True for a load that has the same volts, impedances and control. */
  isOf({ space, typeOf }: LoadWork, load: Load, tree: LoadTree): boolean {
    return (
      this.tree === tree &&
      this.type === typeOf[load.id] &&
      this.level === levelOf(space, load) &&
      this.inrush?.re === load.inrush?.re &&
      this.inrush?.im === load.inrush?.im
    );
  }

  /** The most that the options are in any state, A. */
  most(): number {
    return (this.mostPassing ??= mostOfOptions(this.options));
  }
}

/** Currents of a load in the first moment after a step. */
export interface StartingCurrents {
  /** States in which its inrush impedance is another than the one it has. */
  readonly differs: StateSet;
  /** States in which it has volts that hang on others, and starts with another impedance than it has. */
  readonly exposed: StateSet;
  /** The most that it draws with the volts that it has, A. */
  readonly most: number;
  /** Once asked for. */
  options?: readonly Option[];
}

function levelOf({ level }: Space, { control }: Load): number {
  return control === undefined ? -1 : level[control]!;
}
