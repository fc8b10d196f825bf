/** Whole statements to fill in, `${1:...}` being the places to type at. The only list of them: completion serves it everywhere. */

export interface Snippet {
  /** The word it is offered under. */
  readonly word: string;
  readonly text: string;
  readonly body: string;
}

export const fileSnippets: readonly Snippet[] = [
  {
    word: "machine",
    text: "a new machine with its supply",
    body: 'machine "${1:maker, model and kind}"\n\nsupply ${2|120/240 V 60 Hz,single 120 V 60 Hz legs L N PE,single 230 V 50 Hz legs L N PE,120/208 V 60 Hz|} breaker ${3:30 A}\n\n$0',
  },
  {
    word: "timer",
    text: "a timer with its motor, one contact and its chart",
    body: 'timer ${1:TM} "${2:program timer}" {\n  drive ${3:M1} to ${4:M2}  120 V 2.5 W draws 21 mA\n  contact ${5:run}  ${6:A} to ${7:B}  rated 15 A 125 V\n  chart 5 min per step {\n    steps  off 1  ${8:timed} 4\n    ${5:run}    -      XXXX\n  }\n}\n$0',
  },
  {
    word: "switch",
    text: "a switch; its first position is the resting one",
    body: 'switch ${1:DOOR} "${2:door switch}" {\n  positions ${3:shut} ${4:open}\n  contact ${5:1} to ${6:2} in ${3:shut}  rated ${7:15 A 125 V}\n}\n$0',
  },
  {
    word: "selector",
    text: "a knob and its contacts",
    body: 'selector ${1:SEL} "${2:temperature}" {\n  positions ${3:off} ${4:low} ${5:high}\n  contact ${6:1} to ${7:2} in ${4:low} or ${5:high}  rated ${8:15 A 250 V}\n}\n$0',
  },
  { word: "push", text: "a push button", body: 'push ${1:START} "${2:start button}" rated ${3:15 A 125 V}\n$0' },
  {
    word: "level",
    text: "a water level switch",
    body: 'level ${1:WL} "${2:water level}" {\n  water ${3:empty} ${4:full}\n  contact ${5:C} to ${6:E} in ${3:empty}, else ${7:F}\n  filled by ${8:HV}\n  emptied by ${9:DP}\n}\n$0',
  },
  {
    word: "relay",
    text: "a relay with its coil and one contact",
    body: "relay ${1:K1} {\n  coil ${2:A1} to ${3:A2} ${4:120 V} draws ${5:60 mA}\n  contact ${6:11} to ${7:14} while energised  rated ${8:10 A 250 V}\n}\n$0",
  },
  {
    word: "motor",
    text: "a split-phase motor with its speed switch",
    body: 'motor ${1:DM} "${2:drive motor}" ${3:120 V 1/3 hp} thermally-protected {\n  winding main  ${4:4} to ${5:5}  runs ${6:5.2 A} pf 0.62  starts ${7:22 A} pf 0.62  resistance ${8:2.1 ohm}\n  winding start ${9:3} to ${5:5}  starts ${10:14 A} pf 0.88  resistance ${11:6.1 ohm}\n  speed-switch {\n    contact ${12:6} to ${9:3} while stopped  rated ${13:20 A 125 V}\n  }\n  frame\n}\n$0',
  },
  { word: "heater", text: "a heating coil", body: 'heater ${1:HT} "${2:drying coil}" ${3:5400 W} ${4:240 V}\n$0' },
  {
    word: "thermostat",
    text: "works in normal use; is not protection",
    body: 'thermostat ${1:CT} "${2:cycling thermostat}" opens ${3:68 C} closes ${4:57 C}  rated ${5:25 A 240 V}\n$0',
  },
  {
    word: "limit",
    text: "protects what it senses",
    body: 'limit ${1:HL} "${2:high limit}" opens ${3:121 C} closes ${4:93 C} self-resetting senses ${5:HT}  rated ${6:25 A 240 V}\n$0',
  },
  {
    word: "link",
    text: "opens once and never closes",
    body: 'link ${1:TL} "${2:thermal link}" ${3:91 C} senses ${4:HT}  rated ${5:15 A 125 V}\n$0',
  },
  {
    word: "pump",
    text: "a pump with its motor",
    body: 'pump ${1:DP} "${2:drain pump}" ${3:120 V} draws ${4:0.9 A} pf ${5:0.55} ${6|impedance-protected,thermally-protected|}\n$0',
  },
  {
    word: "valve",
    text: "a water or gas valve",
    body: 'valve ${1:HV} "${2:hot water valve}" ${3:120 V} draws ${4:60 mA}\n$0',
  },
  { word: "fuse", text: "a fuse", body: "fuse ${1:F1} ${2:15 A 250 V}\n$0" },
  {
    word: "proposal",
    text: "a rewire to be tried out on paper",
    body: 'proposal "${1:what it is for}" {\n  ${2|jumper,wire,remove,replace,change|} $0\n}',
  },
  {
    word: "findings",
    text: "what was heard, seen and measured",
    body: 'findings "${1:what is wrong}" {\n  when ${2:TM in timed}\n  ${3|heard,seen|} ${4:DM} ${5:hums}\n  volts ${6:L1} to ${7:N} ${8:120 V}\n}\n$0',
  },
  {
    word: "expect",
    text: "what the machine should do",
    body: "expect ${1:HT} ${2|off,works,runs,heats|} when ${3:DOOR open}\n$0",
  },
];

/** The body with its placeholders filled in as they stand, for editors that know no snippets. */
export function plainBody(body: string): string {
  return body
    .replace(/\$\{\d+\|([^,|]*)[^}]*\}/g, "$1")
    .replace(/\$\{\d+:([^}]*)\}/g, "$1")
    .replace(/\$\d+/g, "");
}
