// Written by pwa/internal/build from the style sheet of this name.
export const dashed: string;
export const minor: string;
export const no: string;
export const off: string;
export const open: string;
export const sAxis: string;
export const sBand: string;
export const sDot: string;
export const sEdge: string;
export const sLevel: string;
export const sOff: string;
export const sRange: string;
export const sText: string;
export const sTick: string;
export const sWall: string;
