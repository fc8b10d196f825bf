/** Drawing, charts and write-up over the protocol. */
import type { Place } from "../base/place.ts";
import type { NumberedFinding } from "../editor/drawn-things.ts";
import { chartStyle, chartsOf, drawingOf } from "../editor/pictures.ts";
import { writeUp as writeUpPage } from "../editor/write-up.ts";
import {
  type ChartResult,
  chart,
  type DrawingParams,
  type DrawingResult,
  drawing,
  type MachineParams,
  type WriteUpParams,
  type WriteUpResult,
  writeUp,
} from "../protocol.ts";
import type { Snapshot } from "../service.ts";
import type { WriteUpFormat } from "../writeup/write-up.ts";
import { machineIndex } from "./chosen-state.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerPictures({ connection, service, positions, log, told: wanted }: FeatureContext): void {
  const rangeIn = (snapshot: Snapshot, place: Place) =>
    place.file === snapshot.file ? { range: positions.range(snapshot.text, place) } : {};
  const told = (snapshot: Snapshot, { number, finding: { gravity, what, place } }: NumberedFinding) => ({
    number,
    gravity,
    what,
    ...rangeIn(snapshot, place),
  });
  const labels = (snapshot: Snapshot) => snapshot.machines.map(({ machine }) => machine.label);

  connection.onRequest(
    drawing,
    guarded<DrawingParams, DrawingResult | null>(log, "drawing", null, async (params) => {
      const draw = (snapshot: Snapshot): DrawingResult | null => {
        const index = machineIndex(snapshot, params, positions);
        if (index === undefined) return null;
        const view = snapshot.machines[index]!;
        const { chosen } = service;
        const state = params.live
          ? (chosen.stateOf(snapshot.file, view) ?? chosen.likely(snapshot.file, view))
          : undefined;
        const { section, alone = false } = params;
        const look = { ...wanted.drawing, alone, ...(section === undefined ? {} : { section }) };
        const { things, sections, ...picture } = drawingOf(snapshot, view, state, look);
        const sectionOf = new Map(sections.flatMap(({ number, names }) => names.map((name) => [name, number])));
        return {
          machine: index,
          machines: labels(snapshot),
          version: snapshot.version,
          ...picture,
          sections: sections.map(({ number, title }) => ({ number, title })),
          parts: things.map(({ name, words, place, whole, findings }) => ({
            name,
            words,
            section: sectionOf.get(name) ?? 1,
            ...rangeIn(snapshot, place),
            ...(whole.file === snapshot.file ? { whole: positions.range(snapshot.text, whole) } : {}),
            findings: findings.map((finding) => told(snapshot, finding)),
          })),
        };
      };
      // Names are enough at rest and for a state shown before; only the first live drawing waits a moment for the states.
      const first = service.atOnce(params.uri, draw);
      const settled = !params.live || first === null || first === undefined || first.live;
      const answer = settled ? first : await service.withNumbers(params.uri, draw);
      return answer ?? null;
    }),
  );

  connection.onRequest(
    chart,
    guarded<MachineParams, ChartResult | null>(log, "chart", null, async (params) => {
      const answer = await service.withNumbers(params.uri, (snapshot): ChartResult | null => {
        const index = machineIndex(snapshot, params, positions);
        if (index === undefined) return null;
        const view = snapshot.machines[index]!;
        const state = service.chosen.stateOf(snapshot.file, view);
        return {
          machine: index,
          machines: labels(snapshot),
          version: snapshot.version,
          ready: view.engine !== undefined,
          style: chartStyle,
          charts: chartsOf(view, state),
        };
      });
      return answer ?? null;
    }),
  );

  connection.onRequest<WriteUpResult | null, void>(
    writeUp,
    guarded<WriteUpParams, WriteUpResult | null>(
      log,
      "write-up",
      null,
      async (params): Promise<WriteUpResult | null> => {
        // A page is handed on: it waits for every check.
        const snapshot = await service.analysed(params.uri);
        const index = snapshot && machineIndex(snapshot, params, positions);
        if (!snapshot || index === undefined) return null;
        const view = snapshot.machines[index]!;
        const bare = decodeURIComponent(snapshot.file.slice(snapshot.file.lastIndexOf("/") + 1)) || "machine.camleaf";
        const saved = /\.camleaf$/.test(bare) ? bare : `${bare.replace(/^.*:/, "")}.camleaf`;
        const several = snapshot.machines.length > 1 ? `-${index + 1}` : "";
        const photos = new Map(Object.entries(params.photos ?? {}));
        const named = view.machine.notes.flatMap(({ statement: { photo } }) => (photo ? [photo.text] : []));
        const page = (format: WriteUpFormat) =>
          writeUpPage(snapshot, view, saved, photos, { ...wanted.drawing, format });
        return {
          fileName: saved.replace(/\.camleaf$/, `${several}.html`),
          html: page("html"),
          markdown: page("markdown"),
          photos: [...new Set(named)].filter((path) => !photos.has(path)),
        };
      },
    ),
  );
}
