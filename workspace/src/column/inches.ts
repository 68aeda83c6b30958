// Diameters are said in inches in both systems of units, as the trade buys them.
const INCH = 0.0254; // m, by definition

const EIGHTHS = ['', '⅛', '¼', '⅜', '½', '⅝', '¾', '⅞'];

export const toInches = (metres: number): number => metres / INCH;
export const fromInches = (value: number): number => value * INCH;

/** 0.2445 m as 9⅝ in; what is no eighth of an inch as 6.18 in. */
export function inches(metres: number): string {
  const value = toInches(metres);
  const eighths = Math.round(value * 8);
  if (Math.abs(value * 8 - eighths) > 0.02) return `${value.toFixed(2)} in`;
  const whole = Math.floor(eighths / 8);
  return `${whole || eighths % 8 === 0 ? whole : ''}${EIGHTHS[eighths % 8]} in`;
}
