/** Shades for the letters of wire colours. IEC 60757 names colours and gives no values; these are plain ones of our own that can be told apart. */
export const shades: Readonly<Record<string, string>> = {
  BK: "#1a1a1a",
  BN: "#7a4a21",
  RD: "#d0021b",
  OG: "#f07800",
  YE: "#f6d800",
  GN: "#1f9d3a",
  BU: "#1c5fd6",
  VT: "#8a3fc0",
  GY: "#8c8c8c",
  WH: "#ffffff",
  PK: "#f29ab8",
  TQ: "#23b5b0",
  TN: "#cfae82",
  GD: "#c9a227",
  SR: "#c3c7cb",
};
