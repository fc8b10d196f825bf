/** Names for several pages or pictures of one file: the second one of `x.svg` goes to `x-2.svg`. */
export function numberedName(name: string, index: number): string {
  return index === 0 ? name : name.replace(/(\.[^./\\]*)?$/, (ending) => `-${index + 1}${ending}`);
}
