// Draws client/icon.png: a cam disc with one notch and the contact that rides on it. Run `node client/icon.mjs` after changing it.
import { writeFileSync } from "node:fs";
import { crc32, deflateSync } from "node:zlib";

const size = 256;
const samples = 4; // per side and pixel: smooth edges
const background = [33, 46, 59];
const metal = [214, 220, 224];
const copper = [205, 127, 74];

/** Distances are negative inside a shape; coordinates run from -1 to 1, y downwards. */
const disc = (x, y, r) => Math.hypot(x, y) - r;
const box = (x, y, cx, cy, w, h) => Math.max(Math.abs(x - cx) - w, Math.abs(y - cy) - h);
const roundBox = (x, y, w, r) => Math.hypot(Math.max(Math.abs(x) - w + r, 0), Math.max(Math.abs(y) - w + r, 0)) - r;

function colourAt(x, y) {
  if (roundBox(x, y, 1, 0.28) > 0) return undefined;
  const [cx, cy] = [x + 0.06, y - 0.2];
  const notch = box(cx, cy, 0, -0.56, 0.13, 0.2);
  const cam = Math.max(disc(cx, cy, 0.56), -notch, -disc(cx, cy, 0.12));
  // The leaf lies across the disc; its point has dropped into the notch.
  const leaf = Math.min(box(x, y, 0.06, -0.56, 0.7, 0.055), box(x, y, -0.06, -0.42, 0.065, 0.15));
  const buttons = Math.min(disc(x - 0.66, y + 0.56, 0.12), disc(x - 0.66, y + 0.8, 0.12));
  const fixedLeaf = box(x, y, 0.42, -0.8, 0.34, 0.055);
  if (Math.min(leaf, buttons, fixedLeaf) < 0) return copper;
  return cam < 0 ? metal : background;
}

const rows = [];
for (let py = 0; py < size; py++) {
  const row = Buffer.alloc(1 + size * 4);
  for (let px = 0; px < size; px++) {
    let [r, g, b, a] = [0, 0, 0, 0];
    for (let s = 0; s < samples * samples; s++) {
      const x = ((px + ((s % samples) + 0.5) / samples) / size) * 2 - 1;
      const y = ((py + (Math.floor(s / samples) + 0.5) / samples) / size) * 2 - 1;
      const colour = colourAt(x, y);
      if (colour) [r, g, b, a] = [r + colour[0], g + colour[1], b + colour[2], a + 1];
    }
    const at = 1 + px * 4;
    if (a > 0) row.set([Math.round(r / a), Math.round(g / a), Math.round(b / a)], at);
    row[at + 3] = Math.round((a / (samples * samples)) * 255);
  }
  rows.push(row);
}

function chunk(type, data) {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  sum.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, sum]);
}
const header = Buffer.alloc(13);
header.writeUInt32BE(size, 0);
header.writeUInt32BE(size, 4);
header.set([8, 6, 0, 0, 0], 8); // 8 bits, RGBA
const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const data = deflateSync(Buffer.concat(rows), { level: 9 });
const target = new URL("./icon.png", import.meta.url);
writeFileSync(
  target,
  Buffer.concat([signature, chunk("IHDR", header), chunk("IDAT", data), chunk("IEND", Buffer.alloc(0))]),
);
