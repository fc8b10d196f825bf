/** Strokes that symbols of both standards are made of. */

export const line = (x1: number, y1: number, x2: number, y2: number, extra = "") =>
  `<path d="M${x1} ${y1}L${x2} ${y2}"${extra}/>`;

/** The wires on both sides, up to `half` from the middle. */
export const leads = (half: number) => line(-20, 0, -half, 0) + line(half, 0, 20, 0);

export const box = (half: number, high: number) =>
  `${leads(half)}<rect x="${-half}" y="${-high}" width="${2 * half}" height="${2 * high}"/>`;

export const letter = (text: string, x = 0, y = 4, size?: number) =>
  `<text class="in" x="${x}" y="${y}" text-anchor="middle"${size === undefined ? "" : ` font-size="${size}"`}>${text}</text>`;

export const circleWith = (radius: number, text: string, size?: number) =>
  `${leads(radius)}<circle r="${radius}"/>${letter(text, 0, size === undefined ? 4.5 : size * 0.36, size)}`;

/** The two terminals of a contact. */
export const contactEnds = `<circle class="end" cx="-11" cy="0" r="2.6"/><circle class="end" cx="11" cy="0" r="2.6"/>`;
