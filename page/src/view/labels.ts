// Where names go beside the head: in a column to each side, each as near to its place as the others let it, none over another.

export interface Named {
  readonly name: string
  readonly x: number // pixels: what it names
  readonly y: number
  readonly high: number // of the label
}

export interface Placed<T extends Named> {
  readonly of: T
  readonly side: 'left' | 'right'
  readonly y: number // middle of the label
}

// Heights in the order given, as near as can be to those wanted, at least so far apart, between top and bottom. Labels that
// meet form a group that lies about its mean (pool adjacent violators).
export function spread(wanted: readonly number[], highs: readonly number[], top: number, bottom: number): number[] {
  const groups: { first: number; count: number; sum: number; high: number }[] = []
  const offset: number[] = [] // of a label's middle below its group's top
  const start = (g: { count: number; sum: number; high: number }) => Math.max(top, Math.min(bottom - g.high, g.sum / g.count))
  wanted.forEach((want, i) => {
    const high = highs[i] ?? 0
    offset[i] = high / 2
    groups.push({ first: i, count: 1, sum: want - high / 2, high })
    for (;;) {
      const b = groups[groups.length - 1], a = groups[groups.length - 2]
      if (!a || !b || start(a) + a.high <= start(b)) break
      for (let k = b.first; k < b.first + b.count; k++) offset[k] = (offset[k] ?? 0) + a.high
      groups.pop()
      a.sum += b.sum - b.count * a.high
      a.count += b.count
      a.high += b.high
    }
  })
  const out: number[] = []
  for (const g of groups) for (let k = g.first; k < g.first + g.count; k++) out[k] = start(g) + (offset[k] ?? 0)
  return out
}

export function columns<T extends Named>(all: readonly T[], middle: number, top: number, bottom: number): Placed<T>[] {
  const room = bottom - top
  const sides = { left: [] as T[], right: [] as T[] }
  for (const of of [...all].sort((a, b) => a.y - b.y || a.x - b.x)) {
    const near = of.x < middle ? 'left' : 'right'
    sides[near].push(of)
  }
  const full = (side: T[]) => side.reduce((sum, of) => sum + of.high, 0)
  // A column that is too full hands over those nearest to the middle.
  for (const [from, to] of [['left', 'right'], ['right', 'left']] as const)
    while (full(sides[from]) > room && sides[from].length > sides[to].length + 1) {
      const inner = sides[from].reduce((best, of) => (Math.abs(of.x - middle) < Math.abs(best.x - middle) ? of : best))
      sides[from] = sides[from].filter((of) => of !== inner)
      sides[to] = [...sides[to], inner].sort((a, b) => a.y - b.y)
    }
  return (['left', 'right'] as const).flatMap((side) => {
    const heights = spread(sides[side].map((of) => of.y), sides[side].map((of) => of.high), top, bottom)
    return sides[side].map((of, i) => ({ of, side, y: heights[i] ?? of.y }))
  })
}
