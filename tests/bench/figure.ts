// What a bench prints: one JSON line for each figure, and nothing that is not a finite number.

export interface Figure {
  readonly figure: string;
  readonly value: number;
  readonly unit: string;
  /** What it was measured against, in words; null for a figure that stands alone. */
  readonly against: string | null;
  readonly ratio: number | null;
  readonly [detail: string]: string | number | null;
}

/** Prints a figure. Throws on a number that is not finite: a wrong figure is worse than none. */
export function printFigure(figure: Figure): void {
  for (const [name, value] of Object.entries(figure)) {
    if (typeof value === 'number' && !Number.isFinite(value))
      throw new Error(`${figure.figure}: ${name} is ${value}`);
  }
  console.log(JSON.stringify(figure));
}

/** The middle of an odd number of measurements. */
export function medianOf(values: readonly number[]): number {
  return quantileOf(values, 0.5);
}

/** The measurement below which a share `q` (0 to 1) of all lie; the nearest rank, no interpolation. */
export function quantileOf(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  const value = sorted[Math.min(sorted.length - 1, Math.ceil(q * sorted.length) - 1)];
  if (value === undefined) throw new Error('nothing was measured');
  return value;
}

export interface Rounds {
  readonly ours: number;
  readonly theirs: number;
  readonly ratio: number;
}

/** Alternating rounds, so that whatever else the machine does weighs on both; medians of each side. */
export async function alternate(
  rounds: number,
  ours: () => Promise<number>,
  theirs: () => Promise<number>,
): Promise<Rounds> {
  const mine: number[] = [];
  const other: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    mine.push(await ours());
    other.push(await theirs());
  }
  const [first, second] = [medianOf(mine), medianOf(other)];
  return { ours: first, theirs: second, ratio: Number((first / second).toFixed(3)) };
}
