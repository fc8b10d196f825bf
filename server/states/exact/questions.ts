/** What an analysis is asked about: amounts, statements, other volts, and what was answered before. */
import { type AnswerStore, Answers } from "./answers.ts";
import { BreakExtremes } from "./breaks.ts";
import { ConductorExtremes } from "./conductors.ts";
import { ContactCurrents } from "./contact-currents.ts";
import type { EngineMemory } from "./engine-memory.ts";
import { EffortPool, SteadyExtremes } from "./extremes.ts";
import type { LegReach } from "./leg-reach.ts";
import type { LoadSets, LoadWork } from "./load-sets.ts";
import { MakeExtremes } from "./makes.ts";
import { OtherVolts } from "./other-volts.ts";
import type { Effort } from "./range.ts";
import type { Reach } from "./reach.ts";
import { SingleStates } from "./single-states.ts";
import { Statements } from "./statement.ts";
import { Steps } from "./steps.ts";
import type { LoadView } from "./targets.ts";

/** What an engine is made of. */
export interface Analysed {
  readonly memory: EngineMemory;
  readonly answers: AnswerStore;
  readonly work: LoadWork;
  readonly legs: LegReach;
  readonly loads: LoadSets;
  readonly view: LoadView;
  readonly reached: Reach;
  /** What the search for one extreme may take. */
  readonly effort: Readonly<Effort> | undefined;
}

/** What searches amounts, statements and answers of before. */
export class Questions {
  readonly steady: SteadyExtremes;
  readonly answers: Answers;
  readonly currents: ContactCurrents;
  readonly breaks: BreakExtremes;
  readonly conductors: ConductorExtremes;
  readonly statements: Statements;
  readonly singles: SingleStates;
  readonly otherVolts: OtherVolts;

  constructor({ memory, answers, work, legs, loads, view, reached, effort }: Analysed) {
    const { space, circuit } = work;
    const supplyOn = space.at(circuit.machine.supply.control, 0);
    const shorted = space.diagrams.and(supplyOn, legs.shorted);
    this.steady = new SteadyExtremes(work, view, reached, shorted, new EffortPool(work, effort));
    this.answers = new Answers(answers, work, view, reached, shorted);
    const steps = new Steps(space, reached, answers.steps, this.answers.common);
    this.breaks = new BreakExtremes(this.steady, steps);
    this.currents = new ContactCurrents(this.steady, new MakeExtremes(this.steady, steps), this.breaks, this.answers);
    this.conductors = new ConductorExtremes(this.steady, this.answers);
    this.statements = new Statements(space, reached.atRest, this.answers);
    this.singles = new SingleStates(work, loads, supplyOn);
    this.otherVolts = new OtherVolts(memory.otherVolts, work, loads, reached);
  }
}

/** Made when first asked for: of a changed machine mostly nothing but the classes of loads is asked. Moved engines share it. */
export class QuestionsMade {
  private readonly from: Analysed;
  private made: Questions | undefined;

  constructor(from: Analysed) {
    this.from = from;
  }

  get all(): Questions {
    this.made ??= new Questions(this.from);
    return this.made;
  }
}
