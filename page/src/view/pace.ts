// How much goes into one picture, by how long the last ones took.

export interface Level {
  readonly each: number // fine hairs for each computed one
  readonly stride: 1 | 2
  readonly threads: boolean
  readonly scale: number // pixels of the picture for each of the page, while it moves, at most
}

export const LEVELS: readonly Level[] = [
  { each: 1, stride: 2, threads: true, scale: 0.6 },
  { each: 1, stride: 2, threads: true, scale: 1 },
  { each: 1, stride: 1, threads: false, scale: 1 },
  { each: 2, stride: 1, threads: false, scale: 1.5 },
  { each: 4, stride: 1, threads: false, scale: 2 },
]

const SLOW = 130 // ms: less goes into the next
const QUICK = 14 // more does

export function nextLevel(level: number, took: number): number {
  if (took > SLOW) return Math.max(0, level - 1)
  if (took < QUICK) return Math.min(LEVELS.length - 1, level + 1)
  return level
}
