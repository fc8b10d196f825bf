/** "Fed by" and "feeds", in the place where editors show what calls what. */
import type { CallHierarchyItem, Range } from "vscode-languageserver";
import { SymbolKind } from "vscode-languageserver";
import { type FeedItem, type FeedSubject, fedByAndFeeds, feedItemsAt } from "../editor/feeds.ts";
import type { Snapshot } from "../service.ts";
import { atPosition, type FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

interface ItemData {
  /** The document that was asked about; the thing itself may be described in another file. */
  readonly uri: string;
  readonly subject: FeedSubject;
}

const kinds: Readonly<Record<FeedSubject["kind"], SymbolKind>> = {
  leg: SymbolKind.Constant,
  contact: SymbolKind.Interface,
  load: SymbolKind.Field,
};

export function registerFeeds(context: FeatureContext): void {
  const { connection, service, positions, log } = context;

  const item = (snapshot: Snapshot, { namePlace, whole, detail, ...subject }: FeedItem): CallHierarchyItem[] => {
    const text = namePlace.file === snapshot.file ? snapshot.text : service.textOf(namePlace.file);
    if (text === undefined) return [];
    const holds = whole.file === namePlace.file && whole.from <= namePlace.from && namePlace.to <= whole.to;
    const data: ItemData = { uri: snapshot.file, subject };
    return [
      {
        name: subject.name,
        detail,
        kind: kinds[subject.kind],
        uri: namePlace.file,
        range: positions.range(text, holds ? whole : namePlace),
        selectionRange: positions.range(text, namePlace),
        data,
      },
    ];
  };

  connection.languages.callHierarchy.onPrepare(
    atPosition(context, "fed by", "names", (snapshot, offset) => {
      const items = feedItemsAt(snapshot, offset).flatMap((each) => item(snapshot, each));
      return items.length > 0 ? items : null;
    }),
  );

  const neighbours = (name: string, side: "fedBy" | "feeds") =>
    guarded<{ readonly item: CallHierarchyItem }, { item: CallHierarchyItem; at: Range }[] | null>(
      log,
      name,
      null,
      async ({ item: { data, selectionRange } }) => {
        const about: unknown = data;
        if (!isItemData(about)) return null;
        const found = await service.withNumbers(about.uri, (snapshot) =>
          fedByAndFeeds(snapshot, about.subject)[side].flatMap((each) => item(snapshot, each)),
        );
        return (
          found?.map((each) => ({ item: each, at: side === "fedBy" ? each.selectionRange : selectionRange })) ?? null
        );
      },
    );
  const fedBy = neighbours("fed by", "fedBy");
  const feeds = neighbours("feeds", "feeds");
  connection.languages.callHierarchy.onIncomingCalls(async (params, token) => {
    const found = await fedBy(params, token);
    return Array.isArray(found) ? found.map(({ item: from, at }) => ({ from, fromRanges: [at] })) : found;
  });
  connection.languages.callHierarchy.onOutgoingCalls(async (params, token) => {
    const found = await feeds(params, token);
    return Array.isArray(found) ? found.map(({ item: to, at }) => ({ to, fromRanges: [at] })) : found;
  });
}

function isItemData(data: unknown): data is ItemData {
  return (
    typeof data === "object" && data !== null && "uri" in data && typeof data.uri === "string" && "subject" in data
  );
}
