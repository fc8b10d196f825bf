/** The one script of all views; the page says which view it is. */
import { BenchPage } from "./bench-page.ts";
import { ChartPage } from "./chart-page.ts";
import { ComparePage } from "./compare-page.ts";
import { ControlsPage } from "./controls-page.ts";
import { element } from "./dom.ts";
import { DrawingPage } from "./drawing-page.ts";
import { keep, listen, tell } from "./host.ts";
import type { ToPage } from "./messages.ts";
import { pngOf } from "./rasterise.ts";

const body = document.getElementById("page")!;
const notice = document.getElementById("notice")!;
const kind = document.body.dataset.view;
const page =
  kind === "drawing"
    ? new DrawingPage(body)
    : kind === "chart"
      ? new ChartPage(body)
      : kind === "bench"
        ? new BenchPage(body)
        : kind === "compare"
          ? new ComparePage(body)
          : new ControlsPage(body);

/** The pictures' own rules; a sheet made so is no inline style to the content security policy. */
const sheet = new CSSStyleSheet();
document.adoptedStyleSheets = [sheet];
let styled = "";

function rules(text: string): void {
  if (text === styled) return;
  styled = text;
  sheet.replaceSync(text);
}

function say(words: string | undefined): void {
  notice.replaceChildren(...(words === undefined ? [] : [element("p", {}, words)]));
  notice.hidden = words === undefined;
}

/** There is something to see: with the rules of its pictures, and remembered over a reload. */
function appear(style: string | undefined, remembered: Parameters<typeof keep>[0]): void {
  say(undefined);
  body.hidden = false;
  if (style !== undefined) rules(style);
  keep(remembered);
}

listen((message: ToPage) => {
  switch (message.show) {
    case "drawing":
      appear(message.drawing.style, { uri: message.uri, machine: message.drawing.machine });
      if (page instanceof DrawingPage) page.showDrawing(message.drawing, message.wantsLive);
      return;
    case "chart":
      appear(message.chart.style, { uri: message.uri, machine: message.chart.machine });
      if (page instanceof ChartPage) page.showChart(message.chart);
      return;
    case "state":
      if (page instanceof ControlsPage) {
        say(undefined);
        body.hidden = false;
      }
      if (message.state.ready) keep({ uri: message.uri, machine: message.state.index, names: message.state.names });
      if (!(page instanceof BenchPage || page instanceof ComparePage)) page.showState(message.state);
      return;
    case "bench":
      appear(message.bench.drawing?.style, { uri: message.uri, block: message.bench.block });
      if (page instanceof BenchPage) page.show(message.bench);
      return;
    case "comparison":
      appear(message.comparison.style, { uri: message.uri, block: message.comparison.proposal });
      if (page instanceof ComparePage) page.show(message.comparison, message.row);
      return;
    case "refused":
      if (page instanceof BenchPage) page.refuse(message.words);
      return;
    case "selected":
      if (page instanceof DrawingPage) page.select(message.name, message.moved);
      return;
    case "rasterise":
      void pngOf(message.svg).then((data) => tell({ tell: "png", data }));
      return;
    case "nothing":
      body.hidden = true;
      return say(message.words);
    case "busy":
      return say(message.words);
  }
});
