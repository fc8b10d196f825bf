/** Names for several pages or pictures of one file: the second one of `x.svg` goes to `x-2.svg`. */
export function numberedName(name: string, index: number): string {
  return index === 0 ? name : wordedName(name, String(index + 1));
}

/** The sheet `heat` of `x.svg` goes to `x-heat.svg`. */
export function wordedName(name: string, word: string): string {
  return name.replace(/(\.[^./\\]*)?$/, (ending) => `-${word}${ending}`);
}
