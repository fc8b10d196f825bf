/** A picture as PNG by the page's own canvas, dark on white, twice its size. */

const scale = 2;
/** Browsers refuse canvases much larger than this a side. */
const mostPixels = 16_000;

/** @returns the PNG in base 64, undefined when the picture cannot be drawn */
export async function pngOf(svg: string): Promise<string | undefined> {
  try {
    const image = new Image();
    image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
    await image.decode();
    const factor = Math.min(scale, mostPixels / Math.max(image.width, image.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(image.width * factor);
    canvas.height = Math.round(image.height * factor);
    const pen = canvas.getContext("2d");
    if (!pen) return undefined;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL("image/png").replace(/^data:image\/png;base64,/, "") || undefined;
  } catch {
    return undefined;
  }
}
