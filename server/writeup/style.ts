/** Plain page, light or dark as the reader's system has it; dark on white in print. */
export const style = `
:root { color-scheme: light dark; }
body { font: 15px/1.5 system-ui, sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.2rem; margin-top: 2rem; border-bottom: 1px solid; } h3 { font-size: 1rem; margin-bottom: .2rem; }
small { font-weight: normal; opacity: .8; } figure { margin: 1rem 0; overflow-x: auto; } figure svg, img { max-width: 100%; height: auto; }
table { border-collapse: collapse; } th, td { text-align: left; vertical-align: top; padding: .1rem .8rem .1rem 0; font-weight: normal; }
th[scope=row] { opacity: .75; white-space: nowrap; } th[scope=col] { border-bottom: 1px solid; }
pre { white-space: pre-wrap; font-size: .85rem; } li.error strong::before { content: "Error: "; } li.warning strong::before { content: "Warning: "; }
@media print { body { margin: 0; max-width: none; } h3, tr, li, figure { break-inside: avoid; } a { color: inherit; } }
`;
