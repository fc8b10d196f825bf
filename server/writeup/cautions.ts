/**
 * The usual cautions, as write-ups print them. Sources: OSHA 29 CFR 1910.333 and 1910.147 (interlocks are no substitute for
 * lockout; stored energy; restore before re-energizing), Lessons in Electric Circuits, Vol. I, Chapter 3 (meter check in three steps).
 */
export const cautions: readonly string[] = [
  "This page informs; it is not authority. Local codes and licensed practice come first.",
  "Unplug the machine, or switch off and lock out its circuit, before you open it. A switch, door or lid is not a disconnect.",
  "Discharge capacitors through a resistor of some kilohms, and treat them as charged while you do it.",
  "Prove dead: meter on a live source, then on the circuit, then on the live source again. 0 V across a switch does not prove that it is closed.",
  "Take out every jumper and put every interlock and cut-out back before the machine is used.",
];
