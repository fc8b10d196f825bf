/**
 * Currents of contacts, found again where an edit did not reach them. Mostly such a current is a sum over loads, and hangs on the connections
 * and on those loads alone, whatever others near by draw.
 */
import type { Extremes, Quantity } from "../engine.ts";
import type { Answers } from "./answers.ts";
import type { BreakExtremes } from "./breaks.ts";
import type { StateSet } from "./diagram.ts";
import type { SteadyExtremes } from "./extremes.ts";
import type { MakeExtremes } from "./makes.ts";
import { extremesOf } from "./shown-extremes.ts";

export type ContactCurrent = Extract<Quantity, { readonly of: "carries" | "makes" | "breaks" }>;

/** More than there are kinds of questions. */
const QUESTIONS = 16;

export class ContactCurrents {
  private readonly steady: SteadyExtremes;
  private readonly makes: MakeExtremes;
  private readonly breaks: BreakExtremes;
  private readonly answers: Answers;
  /** The question asked last, and whether its answer is a sum worked out before. */
  private last:
    | {
        readonly quantity: ContactCurrent;
        readonly set: StateSet;
        readonly key: readonly number[];
        readonly known: Extremes | undefined;
      }
    | undefined;

  constructor(steady: SteadyExtremes, makes: MakeExtremes, breaks: BreakExtremes, answers: Answers) {
    this.steady = steady;
    this.makes = makes;
    this.breaks = breaks;
    this.answers = answers;
  }

  /** @param code number of the kind of question */
  of(quantity: ContactCurrent, code: number, set: StateSet): Extremes {
    const known = this.known(quantity, code, set);
    if (known !== undefined) return known;
    const { steady, answers } = this;
    const { contact, loads: only } = quantity;
    const { key } = this.last!;
    const { sums } = steady.frame;
    const place = QUESTIONS * contact + code;
    // Mostly the answer hangs on less than all that is near, which then need not be looked up.
    let answer = sums.has(place) ? this.workedOut(quantity, set) : undefined;
    let isSum = answer !== undefined && this.isSum(answer);
    if (!isSum) {
      sums.delete(place);
      const before = answer;
      answer = answers.ask(code, set, { contact, only }, steady.near(contact), () => {
        const found = before ?? this.workedOut(quantity, set);
        isSum = this.isSum(found);
        return found;
      });
    }
    if (isSum) {
      sums.add(place);
      answers.keep(key, answer!);
    }
    this.last = undefined;
    return answer!;
  }

  /** Of the answer found last: what was looked at state by state, or not to the end, hangs on more. */
  private isSum({ exact }: Extremes): boolean {
    return exact && !this.steady.pool.looked;
  }

  /** The answer, when it is a sum that was worked out before. */
  known(quantity: ContactCurrent, code: number, set: StateSet): Extremes | undefined {
    const { last } = this;
    if (last?.quantity === quantity && last.set === set) return last.known;
    const { steady, answers, makes } = this;
    const { of, contact, loads: only } = quantity;
    const besides = of === "makes" ? makes.startingNear(contact) : [];
    const loads = steady.summed(contact, only);
    const key = answers.keyOfSum(code, set, contact, only, steady.frame.number, loads, besides);
    const known = answers.find(key);
    this.last = { quantity, set, key, known };
    return known;
  }

  /** What no state exceeds, from what each load draws at most; for what is carried at rest only. */
  atMost({ of, contact }: ContactCurrent): number {
    return of === "makes" ? this.makes.most(contact) : this.steady.mostCarried(contact, of === "breaks");
  }

  private workedOut({ of, contact, loads: only }: ContactCurrent, set: StateSet): Extremes {
    const { steady } = this;
    if (of === "makes") return this.makes.amps(contact, set, only);
    if (of === "breaks") return this.breaks.amps(contact, set, only);
    return extremesOf(steady.work, steady.carries(contact, set, only));
  }
}
